// Which nodes the coarse level keeps, and what that buys. No outside source is needed.

#include <algorithm>
#include <catch2/catch.hpp>

#include "mesh/tetrahedra/measures.hpp"
#include "solver/linear/solve/linear_solver.hpp"
#include "solver/run/coarse_parents.hpp"
#include "tests/solver/elastic_box.hpp"

namespace setstress {
namespace {

using testing::BoxSystem;

constexpr double flat = 0.45;  // mean ratio

/// Nodes that `parents` keeps and `corners_only` does not.
std::vector<int> extra_nodes(const std::vector<std::array<int, 2>>& parents,
                             const std::vector<std::array<int, 2>>& corners_only) {
  std::vector<int> extra;
  for (int node = 0; node < static_cast<int>(parents.size()); ++node) {
    const auto n = static_cast<std::size_t>(node);
    if (parents[n] == corners_only[n]) continue;
    CHECK(parents[n] == std::array{node, node});
    extra.push_back(node);
  }
  return extra;
}

std::ptrdiff_t corners_of(const std::vector<std::array<int, 2>>& corners_only) {
  return std::ranges::count_if(corners_only, [](const std::array<int, 2>& p) { return p[0] == p[1]; });
}

}  // namespace

TEST_CASE("the coarse level keeps corners alone where no tetrahedron is flat", "[linear]") {
  const Mesh mesh = BoxSystem({.cells = 4}).mesh;
  REQUIRE(worst_quality(mesh).mean_ratio > flat);
  CHECK(coarse_parents(mesh) == edge_node_parents(mesh));
}

TEST_CASE("the coarse level keeps edge nodes of flat tetrahedra alone", "[linear]") {
  const Mesh mesh = BoxSystem({.cells = 6, .taper = 0.1}).mesh;
  const auto corners_only = edge_node_parents(mesh);
  const std::vector<int> extra = extra_nodes(coarse_parents(mesh), corners_only);
  CHECK_FALSE(extra.empty());
  CHECK(3 * std::ssize(extra) <= corners_of(corners_only));
  std::vector<char> in_flat(mesh.nodes.size(), 0);
  for (const Tetrahedron& tetrahedron : mesh.tetrahedra)
    if (mean_ratio(mesh, tetrahedron) < flat)
      for (const int node : tetrahedron.nodes) in_flat[static_cast<std::size_t>(node)] = 1;
  for (const int node : extra) CHECK(in_flat[static_cast<std::size_t>(node)]);
}

TEST_CASE("the coarse level never keeps more than a third more than the corners", "[linear]") {
  Mesh mesh = BoxSystem({.cells = 6}).mesh;
  for (Eigen::Vector3d& node : mesh.nodes) node.z() *= 0.05;
  const auto corners_only = edge_node_parents(mesh);
  CHECK(std::ssize(extra_nodes(coarse_parents(mesh), corners_only)) == corners_of(corners_only) / 3);
}

TEST_CASE("keeping nodes of flat tetrahedra saves iterations and leaves the answer", "[linear][iterations]") {
  for (const double taper : {0.02, 0.1}) {
    const BoxSystem system({.cells = 8, .upper = 1000, .spring = 1e5, .taper = taper});
    const BlockMatrix matrix = system.matrix();
    NodeGraph keeping = system.graph;
    keeping.parents = coarse_parents(system.mesh);
    BlockMatrix same_values(keeping);
    same_values.values = matrix.values;
    Eigen::VectorXd x = Eigen::VectorXd::Zero(system.load.size()), y = x;
    const int corners_only =
        make_two_level_solver(system.graph)->solve(matrix, system.load, x, 1e-10).iterations;
    const int with_flat =
        make_two_level_solver(keeping)->solve(same_values, system.load, y, 1e-10).iterations;
    INFO("taper " << taper << ": " << with_flat << " instead of " << corners_only << " iterations");
    CHECK(with_flat < 0.6 * corners_only);
    CHECK(with_flat < 30);
    CHECK((x - y).norm() <= 1e-8 * x.norm());
  }
}

}  // namespace setstress
