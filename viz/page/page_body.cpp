#include "viz/page/page_body.hpp"

#include <fmt/core.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <map>
#include <stdexcept>

namespace setstress::viz {
namespace {

/// Corners of each face, seen from outside the tetrahedron in the right-hand sense.
constexpr std::array<std::array<std::size_t, 3>, 4> faces{{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {0, 3, 2}}};

std::vector<int> whole_numbers(const Eigen::MatrixXd& field) {
  std::vector<int> numbers;
  for (Eigen::Index row = 0; row < field.rows(); ++row) numbers.push_back(static_cast<int>(field(row, 0)));
  return numbers;
}

const Eigen::MatrixXd& field(const Fields& fields, const char* name) {
  const auto found = fields.find(name);
  if (found == fields.end())
    throw std::runtime_error(fmt::format("a volume file lacks the field \"{}\"", name));
  return found->second;
}

double volume_of(const VolumeCells& cells, const std::array<int, 10>& nodes) {
  const auto corner = [&](std::size_t c) { return cells.points[static_cast<std::size_t>(nodes[c])]; };
  return (corner(1) - corner(0)).cross(corner(2) - corner(0)).dot(corner(3) - corner(0)) / 6;
}

}  // namespace

PageBody::PageBody(VolumeCells whole) : whole_(std::move(whole)) {
  region_ = whole_numbers(field(whole_.of_cells, "region"));
  std::map<std::array<int, 2>, int> numbers;
  for (std::size_t t = 0; t < whole_.tetrahedra.size(); ++t) {
    std::array<int, 4>& corners = corners_.emplace_back();
    for (std::size_t c = 0; c < 4; ++c) {
      const int node = whole_.tetrahedra[t][c];
      const auto [entry, is_new] =
          numbers.try_emplace({node, region_[t]}, static_cast<int>(node_of_point_.size()));
      if (is_new) {
        node_of_point_.push_back(node);
        region_of_point_.push_back(region_[t]);
      }
      corners[c] = entry->second;
    }
    volume_.push_back(volume_of(whole_, whole_.tetrahedra[t]));
  }
}

void PageBody::describe(PageResult& page) const {
  page.regions = whole_.regions;
  page.materials = whole_.materials;
  page.increment_of_region.assign(whole_.regions.size(), 0);
  const std::vector<int> increments = whole_numbers(field(whole_.of_cells, "increment"));
  for (std::size_t t = 0; t < region_.size(); ++t)
    page.increment_of_region.at(static_cast<std::size_t>(region_[t])) = increments[t];
  for (std::size_t p = 0; p < node_of_point_.size(); ++p) {
    page.points.push_back(whole_.points[static_cast<std::size_t>(node_of_point_[p])]);
    page.region_of_point.push_back(static_cast<std::uint8_t>(region_of_point_[p]));
  }
  page.tetrahedra = corners_;
  // A face that only one tetrahedron of tooth and fixtures, or of one increment, has lies on its surface.
  std::map<std::array<int, 4>, std::pair<int, std::array<int, 3>>> count;
  for (std::size_t t = 0; t < region_.size(); ++t)
    for (const auto& face : faces) {
      std::array<int, 4> key{increments[t], whole_.tetrahedra[t][face[0]], whole_.tetrahedra[t][face[1]],
                             whole_.tetrahedra[t][face[2]]};
      std::sort(key.begin() + 1, key.end());
      auto& [times, triangle] = count[key];
      ++times;
      triangle = {corners_[t][face[0]], corners_[t][face[1]], corners_[t][face[2]]};
    }
  for (const auto& [key, entry] : count)
    if (entry.first == 1) page.triangles.push_back(entry.second);
}

std::vector<char> PageBody::placed(const VolumeCells& volume) const {
  std::vector<char> placed(whole_.regions.size(), 0);
  for (const int region : whole_numbers(field(volume.of_cells, "region")))
    placed.at(static_cast<std::size_t>(region)) = 1;
  std::size_t expected = 0;
  for (const int region : region_) expected += placed[static_cast<std::size_t>(region)] ? 1 : 0;
  if (volume.tetrahedra.size() != expected)
    throw std::runtime_error(fmt::format(
        "the volume at {} s has {} tetrahedra; {} of its regions are in the fullest volume of this "
        "result: its files are of different runs",
        volume.time, volume.tetrahedra.size(), expected));
  return placed;
}

std::vector<int> PageBody::numbers_in(const std::vector<char>& placed) const {
  std::vector<int> number(whole_.points.size(), -1);
  for (std::size_t t = 0; t < region_.size(); ++t)
    if (placed[static_cast<std::size_t>(region_[t])])
      for (const int node : whole_.tetrahedra[t]) number[static_cast<std::size_t>(node)] = 0;
  int next = 0;
  for (int& each : number)
    if (each == 0) each = next++;
  return number;
}

std::vector<float> PageBody::displacement(const VolumeCells& volume, const std::vector<char>& placed) const {
  std::vector<float> values(3 * node_of_point_.size(), 0);
  const Eigen::MatrixXd& displacement = field(volume.at_points, "displacement");
  const std::vector<int> number = numbers_in(placed);
  for (std::size_t p = 0; p < node_of_point_.size(); ++p) {
    if (!placed[static_cast<std::size_t>(region_of_point_[p])]) continue;
    const int node = number[static_cast<std::size_t>(node_of_point_[p])];
    for (int c = 0; c < 3; ++c)
      values[3 * p + static_cast<std::size_t>(c)] = static_cast<float>(displacement(node, c));
  }
  return values;
}

std::vector<float> PageBody::average(const VolumeCells& volume, const std::vector<char>& placed,
                                     const char* name) const {
  const Eigen::MatrixXd& of_cells = field(volume.of_cells, name);
  std::vector<double> sum(node_of_point_.size(), 0), weight(node_of_point_.size(), 0);
  Eigen::Index cell = 0;
  for (std::size_t t = 0; t < region_.size(); ++t) {
    if (!placed[static_cast<std::size_t>(region_[t])]) continue;
    for (const int corner : corners_[t]) {
      sum[static_cast<std::size_t>(corner)] += volume_[t] * of_cells(cell, 0);
      weight[static_cast<std::size_t>(corner)] += volume_[t];
    }
    ++cell;
  }
  std::vector<float> values(node_of_point_.size(), 0);
  for (std::size_t p = 0; p < values.size(); ++p)
    if (weight[p] > 0) values[p] = static_cast<float>(sum[p] / weight[p]);
  return values;
}

namespace {

/// Keeps the values of the points whose new number is not negative.
void keep_points(Series& series, const std::vector<int>& new_number) {
  const auto components = static_cast<std::size_t>(series.components);
  for (std::vector<float>& values : series.by_frame) {
    std::vector<float> kept;
    for (std::size_t p = 0; p < new_number.size(); ++p)
      if (new_number[p] >= 0)
        for (std::size_t c = 0; c < components; ++c) kept.push_back(values[components * p + c]);
    values = std::move(kept);
  }
}

}  // namespace

void leave_out_interior(PageResult& page) {
  page.tetrahedra.clear();
  std::vector<int> new_number(page.points.size(), -1);
  for (const auto& triangle : page.triangles)
    for (const int point : triangle) new_number[static_cast<std::size_t>(point)] = 0;
  std::size_t next = 0;
  for (std::size_t p = 0; p < new_number.size(); ++p) {
    if (new_number[p] < 0) continue;
    page.points[next] = page.points[p];
    page.region_of_point[next] = page.region_of_point[p];
    new_number[p] = static_cast<int>(next++);
  }
  page.points.resize(next);
  page.region_of_point.resize(next);
  for (auto& triangle : page.triangles)
    for (int& point : triangle) point = new_number[static_cast<std::size_t>(point)];
  for (Series& series : page.series)
    if (series.name.starts_with("body.")) keep_points(series, new_number);
}

}  // namespace setstress::viz
