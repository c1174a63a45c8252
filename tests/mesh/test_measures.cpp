// Measures of hand-made meshes: every expected number is counted or follows from unit cubes.

#include <catch2/catch.hpp>

#include <cmath>
#include <stdexcept>

#include "hand_made.hpp"
#include "mesh/tetrahedra/measures.hpp"

using namespace setstress;
using hand_made::mesh_of;

namespace {

/// One fixture under two increments, 2 x 1 cubes a layer.
Mesh tower(bool tied) {
  return mesh_of(
      {.nx = 2, .ny = 1, .layers = {{"plate"}, {"increment 1", 0}, {"increment 2", 1}}, .tied = tied});
}

}  // namespace

TEST_CASE("hand-made meshes are valid", "[mesh]") {
  const bool tied = GENERATE(true, false);
  CHECK_NOTHROW(require_valid(tower(tied)));
}

TEST_CASE("volumes and areas of a tower of cubes", "[mesh]") {
  const bool tied = GENERATE(true, false);
  const Mesh mesh = tower(tied);
  for (const double v : region_volumes(mesh)) CHECK(v == Approx(2).epsilon(1e-14));
  CHECK(wall_areas(mesh).at(0) == Approx(2).epsilon(1e-14));
  const Eigen::MatrixXd by_increment = wall_areas_by_increment(mesh);
  REQUIRE(by_increment.rows() == 1);
  REQUIRE(by_increment.cols() == 2);
  CHECK(by_increment(0, 0) == Approx(2).epsilon(1e-14));
  CHECK(by_increment(0, 1) == 0);
  CHECK(surface_areas(mesh) == std::vector<double>{2, 2});
}

// Definition of the C-factor: Feilzer, de Gee and Davidson, J Dent Res 66 (1987) 1636. Areas counted by hand:
// each layer is 2 x 1 x 1 with sides of 6 mm2.
TEST_CASE("C-factor of each increment when it is placed, and of the whole", "[mesh]") {
  const bool tied = GENERATE(true, false);
  const ConfigurationFactors factors = configuration_factors(tower(tied));
  REQUIRE(factors.increments.size() == 2);
  CHECK(factors.increments[0].bonded == Approx(2));    // the plate
  CHECK(factors.increments[0].free == Approx(6 + 2));  // sides and where the next comes
  CHECK(factors.increments[1].bonded == Approx(2));    // the increment before
  CHECK(factors.increments[1].free == Approx(6 + 2));
  CHECK(factors.whole.bonded == Approx(2));
  CHECK(factors.whole.free == Approx(12 + 2));
  CHECK(factors.whole.c_factor() == Approx(2.0 / 14));
}

TEST_CASE("surfaces held by rigid plates count as bonded", "[mesh]") {
  const Mesh mesh = mesh_of({.layers = {{"increment 1", 0}}});
  const BondedAndFree cube = configuration_factors(mesh, {"bottom", "top"}).whole;
  CHECK(cube.c_factor() == Approx(2.0 / 4));
  CHECK(std::isinf(BondedAndFree{6, 0}.c_factor()));
  CHECK_THROWS_WITH(configuration_factors(mesh, {"lid"}), Catch::Contains("lid"));
}

TEST_CASE("every edge node lies in the middle of its parents and every corner is its own", "[mesh]") {
  const Mesh mesh = tower(false);
  const auto parents = edge_node_parents(mesh);
  REQUIRE(parents.size() == mesh.nodes.size());
  int corners = 0;
  for (size_t node = 0; node < parents.size(); ++node) {
    const auto& [a, b] = parents[node];
    CHECK(a <= b);
    corners += a == b;
    CHECK(mesh.nodes[node] ==
          0.5 * (mesh.nodes[static_cast<size_t>(a)] + mesh.nodes[static_cast<size_t>(b)]));
  }
  CHECK(corners == 2 * 6 + 3 * 6);  // plate: two levels of 6; filling: three
}

// Liu and Joe, BIT 34 (1994) 268; the corner tetrahedron of a cube split along its diagonal has volume 1/6
// and squared edges 1, 1, 1, 2, 2, 3.
TEST_CASE("mean ratio of the elements of a split cube", "[mesh]") {
  const Quality worst = worst_quality(mesh_of({.layers = {{"block"}}}));
  CHECK(worst.mean_ratio == Approx(12 * std::pow(0.5, 2.0 / 3) / 10).epsilon(1e-14));
  CHECK(worst.tetrahedron == 0);
  CHECK_THROWS_AS(worst_quality(Mesh{}), std::invalid_argument);
}

TEST_CASE("an inverted element has a negative mean ratio", "[mesh]") {
  Mesh mesh = mesh_of({.layers = {{"block"}}});
  std::swap(mesh.tetrahedra[3].nodes[0], mesh.tetrahedra[3].nodes[1]);
  const Quality worst = worst_quality(mesh);
  CHECK(worst.mean_ratio < 0);
  CHECK(worst.tetrahedron == 3);
}

TEST_CASE("neighbours are mutual, cross the bond, and what is left over is the outer surface", "[mesh]") {
  const bool tied = GENERATE(true, false);
  const Mesh mesh = tower(tied);
  const auto neighbours = face_neighbours(mesh);
  int outer = 0;
  for (size_t t = 0; t < neighbours.size(); ++t)
    for (const int across : neighbours[t].across) {
      if (across == FaceNeighbours::outside) {
        ++outer;
        continue;
      }
      const auto& back = neighbours[static_cast<size_t>(across)].across;
      CHECK(std::count(back.begin(), back.end(), static_cast<int>(t)) == 1);
    }
  CHECK(outer == 2 * (2 * 2 + 6 * 3));  // two triangles a square: bottom and top 2 each, sides 6 a layer
  for (const BondFacet& facet : mesh.bond) {
    const auto& across = neighbours[static_cast<size_t>(facet.filling_tetrahedron)].across;
    CHECK(std::count(across.begin(), across.end(), facet.tooth_tetrahedron) == 1);
  }
}

TEST_CASE("three tetrahedra at one face are refused", "[mesh]") {
  Mesh mesh = mesh_of({.layers = {{"block"}}});
  mesh.tetrahedra.push_back(mesh.tetrahedra[0]);
  mesh.tetrahedra.push_back(mesh.tetrahedra[0]);
  CHECK_THROWS_WITH(face_neighbours(mesh), Catch::Contains("share one face"));
}
