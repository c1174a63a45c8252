#include "tests/viz/box_mesh.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace setstress {
namespace {

enum BoxRegion { dentin, increment_1, increment_2 };

int region_at(const Eigen::Vector3d& centre) {
  const bool in_box = centre.x() < 2 && std::abs(centre.y()) < 2 && centre.z() > -1;
  return !in_box ? dentin : centre.z() < 0 ? increment_1 : increment_2;
}

/// Numbers nodes so that tooth and filling never share one.
class NodeNumbers {
 public:
  explicit NodeNumbers(Mesh& mesh) : mesh_(mesh) {}
  int at(const Eigen::Vector3d& position, bool filling) {
    const auto key = [](double value) { return static_cast<int>(std::lround(4 * value)); };
    const std::array<int, 4> place{key(position.x()), key(position.y()), key(position.z()), filling ? 1 : 0};
    const auto [entry, is_new] = numbers_.try_emplace(place, static_cast<int>(mesh_.nodes.size()));
    if (is_new) mesh_.nodes.push_back(position);
    return entry->second;
  }

 private:
  Mesh& mesh_;
  std::map<std::array<int, 4>, int> numbers_;
};

constexpr std::array<std::array<int, 2>, 6> edges{{{0, 1}, {1, 2}, {2, 0}, {0, 3}, {1, 3}, {2, 3}}};

using Corners = std::array<Eigen::Vector3d, 4>;

Tetrahedron make_tetrahedron(const Corners& corners, NodeNumbers& numbers, int region) {
  Tetrahedron tetrahedron{.nodes = {}, .region = region};
  for (std::size_t c = 0; c < 4; ++c) tetrahedron.nodes[c] = numbers.at(corners[c], region != dentin);
  for (std::size_t e = 0; e < 6; ++e) {
    const Eigen::Vector3d middle =
        (corners[static_cast<std::size_t>(edges[e][0])] + corners[static_cast<std::size_t>(edges[e][1])]) / 2;
    tetrahedron.nodes[4 + e] = numbers.at(middle, region != dentin);
  }
  return tetrahedron;
}

/// Kuhn's division of a cube: one tetrahedron per order of walking along the three axes.
void fill_cube(const Eigen::Vector3d& origin, Mesh& mesh, NodeNumbers& numbers) {
  std::array<int, 3> axes{0, 1, 2};
  const int region = region_at(origin + Eigen::Vector3d::Constant(0.5));
  do {
    Corners corners{origin, origin, origin, origin};
    for (std::size_t step = 0; step < 3; ++step) {
      corners[step + 1] = corners[step];
      corners[step + 1](axes[step]) += 1;
    }
    const double volume6 =
        (corners[1] - corners[0]).cross(corners[2] - corners[0]).dot(corners[3] - corners[0]);
    if (volume6 < 0) std::swap(corners[2], corners[3]);
    mesh.tetrahedra.push_back(make_tetrahedron(corners, numbers, region));
  } while (std::ranges::next_permutation(axes).found);
}

int wall_of(const Eigen::Vector3d& normal) {
  if (normal.z() > 0.5) return 0;
  if (normal.x() < -0.5) return 1;
  return normal.y() < 0 ? 2 : 3;  // the buccal wall looks towards negative y
}

/// Corners of each face, seen from outside the tetrahedron in the right-hand sense, and the middles between
/// them.
constexpr std::array<std::array<std::size_t, 6>, 4> faces{
    {{0, 2, 1, 6, 5, 4}, {0, 1, 3, 4, 8, 7}, {1, 2, 3, 5, 9, 8}, {0, 3, 2, 7, 9, 6}}};

void add_bond(Mesh& mesh) {
  std::map<std::array<int, 3>, std::pair<int, SixNodes>> of_filling;  // by place of the face's middle
  const auto place = [&](const SixNodes& face) {
    Eigen::Vector3d sum = Eigen::Vector3d::Zero();
    for (std::size_t c = 0; c < 3; ++c) sum += mesh.nodes[static_cast<std::size_t>(face[c])];
    return std::array<int, 3>{static_cast<int>(std::lround(sum.x())), static_cast<int>(std::lround(sum.y())),
                              static_cast<int>(std::lround(sum.z()))};
  };
  const auto face_of = [&](int t, const std::array<std::size_t, 6>& corners) {
    SixNodes face;
    for (std::size_t n = 0; n < 6; ++n)
      face[n] = mesh.tetrahedra[static_cast<std::size_t>(t)].nodes[corners[n]];
    return face;
  };
  const int count = static_cast<int>(mesh.tetrahedra.size());
  for (int t = 0; t < count; ++t)
    if (mesh.tetrahedra[static_cast<std::size_t>(t)].region != dentin)
      for (const auto& corners : faces) of_filling[place(face_of(t, corners))] = {t, face_of(t, corners)};
  for (int t = 0; t < count; ++t) {
    if (mesh.tetrahedra[static_cast<std::size_t>(t)].region != dentin) continue;
    for (const auto& corners : faces) {
      const SixNodes tooth = face_of(t, corners);
      const auto other = of_filling.find(place(tooth));
      if (other == of_filling.end()) continue;
      SixNodes filling;
      for (std::size_t n = 0; n < 6; ++n)
        filling[n] = *std::ranges::find_if(other->second.second, [&](int node) {
          return mesh.nodes[static_cast<std::size_t>(node)] == mesh.nodes[static_cast<std::size_t>(tooth[n])];
        });
      const Eigen::Vector3d normal = area_and_normal(mesh, tooth).normal;
      mesh.bond.push_back({tooth, filling, wall_of(normal), t, other->second.first});
    }
  }
}

}  // namespace

Mesh box_mesh() {
  Mesh mesh;
  mesh.regions = {{"dentin", -1}, {"increment 1", 0}, {"increment 2", 1}};
  mesh.walls = {"floor", "axial", "buccal", "lingual"};
  NodeNumbers numbers(mesh);
  for (int x = 0; x < 4; ++x)
    for (int y = -3; y < 3; ++y)
      for (int z = -2; z < 2; ++z) fill_cube(Eigen::Vector3d(x, y, z), mesh, numbers);
  add_bond(mesh);
  return mesh;
}

Frame blank_frame(const Mesh& mesh) {
  Frame frame;
  frame.placed.assign(mesh.regions.size(), 1);
  frame.displacement = Eigen::VectorXd::Zero(3 * static_cast<Eigen::Index>(mesh.nodes.size()));
  frame.stress.assign(mesh.tetrahedra.size(),
                      {Vector6d::Zero(), Vector6d::Zero(), Vector6d::Zero(), Vector6d::Zero()});
  frame.conversion.assign(mesh.tetrahedra.size(), {0, 0, 0, 0});
  BondPoint placed;
  placed.active = true;
  frame.bond.assign(mesh.bond.size(), {placed, placed, placed, placed, placed, placed});
  return frame;
}

FileLabels box_labels(const Mesh& mesh) {
  return {.title = "box in a block (invented)",
          .materials = {"dentin", "universal composite", "universal composite"},
          .substrates = std::vector<Substrate>(mesh.bond.size(), Substrate::middle_dentin)};
}

}  // namespace setstress
