#pragma once
// Small meshes made by hand, whose every number is known without a mesher.

#include <algorithm>
#include <array>
#include <map>
#include <tuple>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress::hand_made {

/// Layers of unit cubes, each cube split into six tetrahedra along its diagonal; one region a layer, from
/// below. Fixture below filling makes a bond of one wall, "bond", with duplicated nodes unless `tied`.
/// Surfaces "bottom" and "top".
struct Cubes {
  int nx = 1, ny = 1;
  std::vector<Region> layers;
  bool tied = false;
};

class CubeMesher {
 public:
  explicit CubeMesher(const Cubes& cubes) : cubes_(cubes) {
    mesh_.regions = cubes.layers;
    mesh_.walls = {"bond"};
    mesh_.surfaces = {{"bottom", {}}, {"top", {}}};
    for (int z = 0; z < height(); ++z)
      for (int y = 0; y < cubes.ny; ++y)
        for (int x = 0; x < cubes.nx; ++x) add_cube({x, y, z});
  }
  [[nodiscard]] Mesh mesh() const { return mesh_; }

 private:
  using Point = std::array<int, 3>;  ///< in half millimetres, so that edge nodes are whole numbers too

  [[nodiscard]] int height() const { return static_cast<int>(cubes_.layers.size()); }
  [[nodiscard]] bool filling(int layer) const {
    return cubes_.layers[static_cast<size_t>(layer)].is_filling();
  }

  int node(bool in_filling, const Point& p) {
    const auto key = std::make_tuple(in_filling && !cubes_.tied, p);
    const auto [found, is_new] = node_at_.try_emplace(key, static_cast<int>(mesh_.nodes.size()));
    if (is_new) mesh_.nodes.emplace_back(0.5 * p[0], 0.5 * p[1], 0.5 * p[2]);
    return found->second;
  }
  static Point middle(const Point& a, const Point& b) {
    return {(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2};
  }
  /// Three times the centre: tells the faces of one level apart.
  static Point sum(const Point& a, const Point& b, const Point& c) {
    return {a[0] + b[0] + c[0], a[1] + b[1] + c[1], a[2] + b[2] + c[2]};
  }
  SixNodes triangle(bool in_filling, const Point& a, const Point& b, const Point& c) {
    return {node(in_filling, a),
            node(in_filling, b),
            node(in_filling, c),
            node(in_filling, middle(a, b)),
            node(in_filling, middle(b, c)),
            node(in_filling, middle(c, a))};
  }

  void add_cube(const Point& cube) {
    std::array<int, 3> axes{0, 1, 2};
    do {
      std::array<Point, 4> corner;
      corner[0] = {2 * cube[0], 2 * cube[1], 2 * cube[2]};
      for (size_t i = 0; i < 3; ++i) {
        corner[i + 1] = corner[i];
        corner[i + 1][static_cast<size_t>(axes[i])] += 2;
      }
      const bool even = (axes[0] + 1) % 3 == axes[1];
      if (!even) std::swap(corner[1], corner[2]);
      add_tetrahedron(cube[2], corner);
    } while (std::next_permutation(axes.begin(), axes.end()));
  }

  void add_tetrahedron(int layer, const std::array<Point, 4>& p) {
    const bool side = filling(layer);
    const auto mid = [&](size_t i, size_t j) { return node(side, middle(p[i], p[j])); };
    mesh_.tetrahedra.push_back({{node(side, p[0]), node(side, p[1]), node(side, p[2]), node(side, p[3]),
                                 mid(0, 1), mid(1, 2), mid(2, 0), mid(0, 3), mid(1, 3), mid(2, 3)},
                                layer});
    static constexpr std::array<std::array<size_t, 3>, 4> outward{
        {{1, 2, 3}, {0, 3, 2}, {0, 1, 3}, {0, 2, 1}}};
    for (const auto& [a, b, c] : outward) add_level_face(layer, p[a], p[b], p[c]);
  }

  /// Sorts a face that lies level into the surfaces or the bond; the others are nobody's.
  void add_level_face(int layer, const Point& a, const Point& b, const Point& c) {
    if (a[2] != b[2] || b[2] != c[2]) return;
    const int level = a[2] / 2;
    const int tetrahedron = static_cast<int>(mesh_.tetrahedra.size()) - 1;
    if (level == 0) mesh_.surfaces[0].facets.push_back(triangle(filling(layer), a, b, c));
    if (level == height()) mesh_.surfaces[1].facets.push_back(triangle(filling(layer), a, b, c));
    if (level == layer + 1 && level < height() && filling(layer + 1) && !filling(layer))
      below_[sum(a, b, c)] = tetrahedron;
    if (level == layer && level > 0 && filling(layer) && !filling(layer - 1))
      mesh_.bond.push_back(
          {triangle(false, a, c, b), triangle(true, a, c, b), 0, below_.at(sum(a, b, c)), tetrahedron});
  }

  Cubes cubes_;
  Mesh mesh_;
  std::map<std::tuple<bool, Point>, int> node_at_;
  std::map<Point, int> below_;
};

inline Mesh mesh_of(const Cubes& cubes) {
  return CubeMesher(cubes).mesh();
}

}  // namespace setstress::hand_made
