#include "solver/report/cure_report.hpp"

#include <algorithm>
#include <stdexcept>

#include "mesh/tetrahedra/measures.hpp"
#include "solver/model/own_light.hpp"
#include "solver/report/weighted_sample.hpp"

namespace setstress {
namespace {

constexpr double twentieth = 0.05;
constexpr double same_depth = 1e-9;  // [mm]: what may be round-off

/// Extent along z [mm] of the nodes of a region.
double extent_along_z(const Mesh& mesh, std::size_t region) {
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const Tetrahedron& tetrahedron : mesh.tetrahedra)
    if (tetrahedron.region == static_cast<int>(region))
      for (const int node : tetrahedron.nodes) {
        low = std::min(low, mesh.nodes[static_cast<std::size_t>(node)].z());
        high = std::max(high, mesh.nodes[static_cast<std::size_t>(node)].z());
      }
  return high - low;
}

/// Length [mm] through what is there when `increment` has been placed: tooth, it and those before it.
double through_what_is_there(const Mesh& mesh, const std::vector<double>& by_region, int increment) {
  double length = 0;
  for (std::size_t r = 0; r < by_region.size(); ++r)
    if (mesh.regions[r].increment <= increment) length += by_region[r];
  return length;
}

}  // namespace

/// A stress point with how deep it lies and how thick its increment is there, along the nearest lamp's light.
struct CureReport::Deep {
  Share share;
  double depth, thickness;  ///< [mm]
};

std::vector<CureReport::Share> CureReport::first_twentieth(const std::vector<Deep>& rising) {
  double left = 0;
  for (const Deep& point : rising) left += twentieth * point.share.volume;
  std::vector<Share> found;
  for (std::size_t i = 0; i < rising.size() && left > 0;) {
    std::size_t end = i;
    double volume = 0;
    for (; end < rising.size() && rising[end].depth <= rising[i].depth + same_depth; ++end)
      volume += rising[end].share.volume;
    const double taken = std::min(volume, left) / volume;  // points that lie equally deep share alike
    for (; i < end; ++i) {
      found.push_back(rising[i].share);
      found.back().volume *= taken;
    }
    left -= volume;
  }
  return found;
}

std::vector<CureReport::Deep> CureReport::points_of(const Mesh& mesh, std::size_t region,
                                                    const std::vector<Eigen::Vector3d>& directions,
                                                    const LightPaths& light) {
  constexpr double far = std::numeric_limits<double>::infinity();
  const std::vector<int> filling = filling_tetrahedra(mesh);
  std::vector<Deep> points;
  for (std::size_t i = 0; i < filling.size(); ++i) {
    const auto index = static_cast<std::size_t>(filling[i]);
    if (mesh.tetrahedra[index].region != static_cast<int>(region)) continue;
    const double quarter = volume(mesh, mesh.tetrahedra[index]) / 4.0;
    for (std::size_t p = 0; p < 4; ++p) {
      Deep point{{index, p, quarter}, far, far};
      for (const Eigen::Vector3d& direction : directions) {
        const std::vector<double>& up = light.towards_lamp(direction)[i][p];
        const std::vector<double>& down = light.towards_lamp(-direction)[i][p];
        point.depth = std::min(point.depth, through_what_is_there(mesh, up, mesh.regions[region].increment));
        point.thickness = std::min(point.thickness, up[region] + down[region]);
      }
      points.push_back(point);
    }
  }
  return points;
}

CureReport::Part CureReport::part_of(const Mesh& mesh, std::size_t region, std::vector<Deep> points) {
  Part part{region, extent_along_z(mesh, region), 0, {}, {}, {}};
  std::vector<WeightedValue> thickness;
  for (const Deep& point : points) {
    part.all.push_back(point.share);
    thickness.push_back({point.thickness, point.share.volume});
  }
  sort_by_value(thickness);
  part.depth = weighted_percentile(thickness, 0.95);
  std::ranges::stable_sort(points, {}, &Deep::depth);
  part.top = first_twentieth(points);
  for (Deep& point : points) point.depth = -point.depth;
  std::ranges::reverse(points);
  part.bottom = first_twentieth(points);
  return part;
}

CureReport::CureReport(const Mesh& mesh, const Timeline& timeline, const LightPaths& light)
    : tetrahedra_(mesh.tetrahedra.size()) {
  for (int increment = 0; increment < number_of_increments(mesh); ++increment)
    for (std::size_t r = 0; r < mesh.regions.size(); ++r)
      if (mesh.regions[r].increment == increment)
        parts_.push_back(part_of(mesh, r, points_of(mesh, r, light_directions(timeline, increment), light)));
}

double CureReport::mean(const std::vector<Share>& shares, const PointValues& values) {
  double sum = 0, volume = 0;
  for (const Share& share : shares) {
    sum += share.volume * values[share.tetrahedron][share.point];
    volume += share.volume;
  }
  return sum / volume;
}

TopAndBottom CureReport::top_and_bottom(int increment, const PointValues& values) const {
  const Part& part = parts_.at(static_cast<std::size_t>(increment));
  return {mean(part.top, values), mean(part.bottom, values)};
}

std::vector<IncrementCure> CureReport::of(const std::vector<char>& placed,
                                          const PointValues& conversion) const {
  if (conversion.size() != tetrahedra_)
    throw std::invalid_argument("cure report: mesh and conversions have different numbers of tetrahedra");
  std::vector<IncrementCure> report;
  for (std::size_t i = 0; i < parts_.size(); ++i) {
    const Part& part = parts_[i];
    IncrementCure cure;
    cure.increment = static_cast<int>(i);
    cure.thickness = part.thickness;
    cure.depth = part.depth;
    cure.placed = placed.at(part.region) != 0;
    if (cure.placed) {
      std::vector<WeightedValue> sample;
      for (const Share& share : part.all)
        sample.push_back({conversion[share.tetrahedron][share.point], share.volume});
      sort_by_value(sample);
      cure.least = sample.front().value;
      cure.p05 = weighted_percentile(sample, 0.05);
      cure.mean = weighted_mean(sample);
      cure.along_light = top_and_bottom(cure.increment, conversion);
    }
    report.push_back(cure);
  }
  return report;
}

}  // namespace setstress
