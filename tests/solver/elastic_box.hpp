#pragma once
// A box of second-order tetrahedra for tests of the linear algebra: lower half stiff, upper half soft or
// graded, the two joined by springs between twin nodes.

#include <Eigen/Core>
#include <Eigen/Geometry>
#include <array>
#include <map>
#include <random>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"
#include "solver/element/tetrahedron.hpp"
#include "solver/linear/matrix/assembly_map.hpp"
#include "solver/linear/matrix/block_matrix.hpp"

namespace setstress::testing {

struct ElasticBox {
  int cells = 4;        ///< along x and y; 2 * (cells / 2) along z
  double lower = 20e3;  ///< modulus below the middle plane [MPa]
  double upper = 2;     ///< modulus above it [MPa]; every second tetrahedron ten times that
  double nu = 0.3;
  double spring = 1e6;       ///< of the joint [N/mm3]
  bool upper_placed = true;  ///< false: upper nodes decoupled
  /// Share of the way that a third of the inner corners lie towards their next along x: flat tetrahedra.
  double squeezed = 0;
  /// Height of the topmost cells at x = 0, as a share of a whole cell's, which they reach at the other end:
  /// flat tetrahedra in a wedge.
  double taper = 1;
};

/// Mesh, system and right-hand side of an ElasticBox. Base held in all components, some nodes of the lower
/// half in x only.
class BoxSystem {
 public:
  explicit BoxSystem(const ElasticBox& box) : box_(box) {
    number_corners();
    cut_into_tetrahedra();
    tie_twins();
    graph = make_node_graph(mesh.nodes, std::array{tetrahedra, ties}, parents);
    assemble();
  }
  [[nodiscard]] int nodes() const { return static_cast<int>(mesh.nodes.size()); }
  /// Fills `matrix` and `load` for changed properties on the same mesh.
  void reassemble(const ElasticBox& box) {
    box_ = box;
    assemble();
  }

  Mesh mesh;
  NodeGroups tetrahedra, ties;
  std::vector<std::array<int, 2>> parents;
  std::vector<char> upper_node;
  NodeGraph graph;
  std::vector<Block> values;
  Eigen::VectorXd load;

  [[nodiscard]] BlockMatrix matrix() const {
    BlockMatrix result(graph);
    result.values = values;
    return result;
  }

 private:
  ElasticBox box_;
  std::map<std::array<int, 2>, int> edge_node_;

  int add_node(const Eigen::Vector3d& point, std::array<int, 2> from, bool upper) {
    mesh.nodes.push_back(point);
    parents.push_back(from);
    upper_node.push_back(upper);
    return nodes() - 1;
  }
  /// Layers 0..half are lower; half+1.. are upper and start with the twins of layer `half`.
  void number_corners() {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> jitter(-0.15, 0.15);
    const int half = box_.cells / 2;
    for (int layer = 0; layer <= 2 * half + 1; ++layer)
      for (int j = 0; j <= box_.cells; ++j)
        for (int i = 0; i <= box_.cells; ++i) {
          const bool upper = layer > half;
          Eigen::Vector3d point(i, j, upper ? layer - 1 : layer);
          const bool at_joint = layer == half || layer == half + 1;
          const bool inside = i > 0 && i < box_.cells && j > 0 && j < box_.cells && layer > 0 &&
                              layer < 2 * half + 1 && !at_joint;
          if (box_.taper < 1)
            point.z() -= layer == 2 * half + 1 ? (1 - box_.taper) * (1 - point.x() / box_.cells) : 0;
          else if (box_.squeezed > 0)
            point.x() += inside && (i + j + layer) % 3 == 0 ? box_.squeezed : 0;
          else if (!at_joint)
            point += Eigen::Vector3d(jitter(random), jitter(random), jitter(random));
          const int node = nodes();
          add_node(point / box_.cells, {node, node}, upper);
        }
  }
  [[nodiscard]] int corner(int i, int j, int layer) const {
    return (layer * (box_.cells + 1) + j) * (box_.cells + 1) + i;
  }
  int middle(int a, int b) {
    const std::array<int, 2> edge{std::min(a, b), std::max(a, b)};
    const auto found = edge_node_.find(edge);
    if (found != edge_node_.end()) return found->second;
    const Eigen::Vector3d point =
        0.5 * (mesh.nodes[static_cast<std::size_t>(a)] + mesh.nodes[static_cast<std::size_t>(b)]);
    return edge_node_[edge] = add_node(point, edge, upper_node[static_cast<std::size_t>(a)] != 0);
  }
  /// Six tetrahedra around the main diagonal of each cell (Kuhn's subdivision, which conforms).
  void cut_into_tetrahedra() {
    const int half = box_.cells / 2;
    for (int layer = 0; layer < 2 * half + 1; ++layer) {
      if (layer == half) continue;  // the joint
      for (int j = 0; j < box_.cells; ++j)
        for (int i = 0; i < box_.cells; ++i)
          for (const auto& [a, b] : {std::pair{0, 1}, {1, 2}, {2, 0}, {1, 0}, {2, 1}, {0, 2}}) {
            std::array<int, 3> step{};
            std::array<int, 4> c{};
            c[0] = corner(i, j, layer);
            step[static_cast<std::size_t>(a)] = 1;
            c[1] = corner(i + step[0], j + step[1], layer + step[2]);
            step[static_cast<std::size_t>(b)] = 1;
            c[2] = corner(i + step[0], j + step[1], layer + step[2]);
            c[3] = corner(i + 1, j + 1, layer + 1);
            add_tetrahedron(c, layer > half ? 1 : 0);
          }
    }
  }
  void add_tetrahedron(std::array<int, 4> c, int region) {
    const auto at = [&](int k) {
      return mesh.nodes[static_cast<std::size_t>(c[static_cast<std::size_t>(k)])];
    };
    if ((at(1) - at(0)).cross(at(2) - at(0)).dot(at(3) - at(0)) < 0) std::swap(c[1], c[2]);
    const std::array<int, 10> all{c[0],
                                  c[1],
                                  c[2],
                                  c[3],
                                  middle(c[0], c[1]),
                                  middle(c[1], c[2]),
                                  middle(c[2], c[0]),
                                  middle(c[0], c[3]),
                                  middle(c[1], c[3]),
                                  middle(c[2], c[3])};
    mesh.tetrahedra.push_back({all, region});
    tetrahedra.add(all);
  }
  /// Pairs of nodes at the same place in the middle plane, corners and edge nodes alike.
  void tie_twins() {
    std::map<std::array<double, 2>, int> lower;
    for (int node = 0; node < nodes(); ++node) {
      const Eigen::Vector3d& p = mesh.nodes[static_cast<std::size_t>(node)];
      if (std::abs(p.z() - 0.5 * (box_.cells / 2) * 2 / box_.cells) > 1e-12) continue;
      const auto [entry, is_new] = lower.try_emplace({p.x(), p.y()}, node);
      if (!is_new) ties.add(std::array{entry->second, node});
    }
  }
  void assemble() {
    BlockMatrix system(graph);
    const AssemblyMap map(graph, tetrahedra);
    map.for_each([&](int t) {
      const Tetrahedron& tetrahedron = mesh.tetrahedra[static_cast<std::size_t>(t)];
      if (tetrahedron.region == 1 && !box_.upper_placed) return;
      const double modulus = tetrahedron.region == 0 ? box_.lower : box_.upper * (t % 2 ? 10 : 1);
      const std::array<double, 4> moduli{modulus, modulus, modulus, modulus};
      map.add(system, t, stiffness(geometry_of(mesh, tetrahedron), moduli, box_.nu));
    });
    const AssemblyMap tie_map(graph, ties);
    Eigen::Matrix<double, 6, 6> spring = Eigen::Matrix<double, 6, 6>::Identity();
    spring.topRightCorner<3, 3>() = spring.bottomLeftCorner<3, 3>() = -Eigen::Matrix3d::Identity();
    spring *= box_.spring / (box_.cells * box_.cells * 4);
    if (box_.upper_placed) tie_map.for_each([&](int tie) { tie_map.add(system, tie, spring); });
    load = Eigen::VectorXd::Zero(3 * nodes());
    std::vector<char> held(static_cast<std::size_t>(3 * nodes()), 0);
    for (int node = 0; node < nodes(); ++node) {
      const Eigen::Vector3d& p = mesh.nodes[static_cast<std::size_t>(node)];
      const bool absent = !box_.upper_placed && upper_node[static_cast<std::size_t>(node)];
      const bool base = parents[static_cast<std::size_t>(node)][0] < (box_.cells + 1) * (box_.cells + 1) &&
                        parents[static_cast<std::size_t>(node)][1] < (box_.cells + 1) * (box_.cells + 1);
      const bool roller = p.z() > 0.3 && p.z() < 0.5 && p.x() > 0.8;  // in x only
      for (int i = 0; i < 3; ++i)
        held[static_cast<std::size_t>(3 * node + i)] = absent || base || (roller && i == 0);
      if (!absent && !base)
        load.segment<3>(3 * node) = Eigen::Vector3d(std::sin(9 * p.x()), p.y(), -1 + p.z());
    }
    decouple(system, held, 1e4);
    values = system.values;
  }
};

}  // namespace setstress::testing
