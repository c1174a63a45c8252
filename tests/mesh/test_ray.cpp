// Rays through hand-made meshes of unit cubes: lengths follow from the geometry of straight lines.

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <numeric>
#include <stdexcept>

#include "hand_made.hpp"
#include "mesh/tetrahedra/ray.hpp"

using namespace setstress;
using hand_made::mesh_of;

namespace {

Mesh tower() {
  return mesh_of({.nx = 3, .ny = 3, .layers = {{"plate"}, {"increment 1", 0}, {"increment 2", 1}}});
}

Eigen::Vector3d centroid(const Mesh& mesh, size_t t) {
  return position(mesh, mesh.tetrahedra[t], Eigen::Vector4d::Constant(0.25));
}

/// Distance from `p` to the surface of the 3 x 3 x 3 tower along `direction`.
double distance_to_hull(const Eigen::Vector3d& p, const Eigen::Vector3d& direction) {
  double distance = std::numeric_limits<double>::infinity();
  for (int i = 0; i < 3; ++i)
    if (direction(i) != 0) distance = std::min(distance, ((direction(i) > 0 ? 3 : 0) - p(i)) / direction(i));
  return distance;
}

double total(const std::vector<double>& lengths) {
  return std::accumulate(lengths.begin(), lengths.end(), 0.0);
}

}  // namespace

TEST_CASE("a ray straight up crosses the bond and measures each layer", "[mesh]") {
  const Mesh mesh = tower();
  const RayWalker walker(mesh);
  for (size_t t = 0; t < mesh.tetrahedra.size(); ++t) {
    if (mesh.tetrahedra[t].region != 0) continue;
    const Eigen::Vector3d from = centroid(mesh, t);
    const auto lengths = walker.path_lengths(static_cast<int>(t), from, Eigen::Vector3d::UnitZ());
    CHECK(lengths[0] == Approx(1 - from.z()).epsilon(1e-12));
    CHECK(lengths[1] == Approx(1).epsilon(1e-12));
    CHECK(lengths[2] == Approx(1).epsilon(1e-12));
  }
}

TEST_CASE("oblique rays have the length of the straight line to the outer surface", "[mesh]") {
  const Mesh mesh = tower();
  const RayWalker walker(mesh);
  for (size_t t = 0; t < mesh.tetrahedra.size(); ++t)
    for (const Eigen::Vector3d& aim : {Eigen::Vector3d(1, 2, 3), {-1, 0.3, 0.2}, {0, -1, 1}, {1, 1, -1}}) {
      const Eigen::Vector3d direction = aim.normalized();
      const Eigen::Vector3d from = centroid(mesh, t);
      const auto lengths = walker.path_lengths(static_cast<int>(t), from, direction);
      CHECK(total(lengths) == Approx(distance_to_hull(from, direction)).epsilon(1e-9));
    }
}

// Rays aimed from every element exactly at every corner and along the cubes' diagonals run into edges and
// corners on their way; they must arrive all the same. Tolerance: a restart moves the ray by a millionth of
// an element.
TEST_CASE("rays through corners and along edges arrive", "[mesh]") {
  const Mesh mesh = tower();
  const RayWalker walker(mesh);
  const size_t start = GENERATE(0, 7, 60, 81, 100, 161);
  const Eigen::Vector3d inside = centroid(mesh, start);
  const auto& nodes = mesh.tetrahedra[start].nodes;
  for (const Eigen::Vector3d& target : mesh.nodes)
    for (const Eigen::Vector3d& from :
         {inside, mesh.nodes[static_cast<size_t>(nodes[0])], mesh.nodes[static_cast<size_t>(nodes[4])]}) {
      if ((target - from).norm() < 1e-12) continue;
      const Eigen::Vector3d direction = (target - from).normalized();
      const double length = total(walker.path_lengths(static_cast<int>(start), from, direction));
      CHECK(length <= distance_to_hull(from, direction) + 1e-5);
      if (from == inside)  // no ray from the inside may stop short
        CHECK(length == Approx(distance_to_hull(from, direction)).epsilon(1e-5));
    }
}

TEST_CASE("rays that make no sense are refused", "[mesh]") {
  const Mesh mesh = tower();
  const RayWalker walker(mesh);
  CHECK_THROWS_WITH(walker.path_lengths(0, centroid(mesh, 0), {0, 0, 2}), Catch::Contains("must be 1"));
  CHECK_THROWS_WITH(walker.path_lengths(0, {9, 9, 9}, {0, 0, 1}), Catch::Contains("does not start in"));
  CHECK_THROWS_AS(walker.path_lengths(0, centroid(mesh, 0), {NAN, 0, 1}), std::invalid_argument);
}

TEST_CASE("a ray caught between overlapping elements is given up with its place", "[mesh]") {
  Mesh mesh = mesh_of({.layers = {{"block"}}});
  mesh.tetrahedra = {mesh.tetrahedra[0], mesh.tetrahedra[0]};  // neighbours of each other through all faces
  const RayWalker walker(mesh);
  CHECK_THROWS_WITH(walker.path_lengths(0, centroid(mesh, 0), {0, 0, 1}),
                    Catch::Contains("does not leave the mesh"));
}
