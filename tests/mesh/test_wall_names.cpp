// Walls and surfaces carry the right names on either side and wherever the preparation is put. Derived from
// the axes: x positive towards distal, y towards buccal, z towards occlusal; normals point from the tooth
// into the filling.

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "tests/mesh/tooth_cases.hpp"

using namespace setstress;
using namespace setstress::test;
using Kind = Preparation::Kind;

namespace {

std::set<std::string> names(const std::vector<std::string>& walls) {
  return {walls.begin(), walls.end()};
}

const std::map<std::string, Eigen::Vector3d> inward = {{"floor", {0, 0, 1}},   {"pulpal floor", {0, 0, 1}},
                                                       {"buccal", {0, -1, 0}}, {"lingual", {0, 1, 0}},
                                                       {"mesial", {1, 0, 0}},  {"distal", {-1, 0, 0}}};

void check_normals(const Mesh& mesh) {
  for (const std::string& wall : mesh.walls) {
    if (!inward.contains(wall)) continue;
    INFO(wall);
    CHECK(whole_wall(mesh, wall).normal.dot(inward.at(wall)) >
          0.85);  // rounded line angles and quadrants lean
  }
}

}  // namespace

TEST_CASE("Each preparation has its own walls and they face into the filling", "[mesh]") {
  const double radius = GENERATE(0.0, 0.4);
  const auto [kind, walls] = GENERATE(table<Kind, std::set<std::string>>({
      {Kind::occlusal_box, {"floor", "buccal", "lingual", "mesial", "distal"}},
      {Kind::proximal_box, {"floor", "buccal", "lingual", "axial"}},
      {Kind::proximal_box_with_step, {"floor", "buccal", "lingual", "axial", "pulpal floor", "distal"}},
      {Kind::through_box, {"floor", "buccal", "lingual"}},
      {Kind::cylinder, {"floor", "buccal", "lingual", "mesial", "distal"}},
  }));
  Preparation preparation{.kind = kind, .line_angle_radius = radius, .offset_y = 0.4};
  if (kind == Kind::occlusal_box) preparation.length = 3;
  const Mesh mesh = build_mesh(tooth_with(preparation), fineness("coarse"));
  CHECK(names(mesh.walls) == walls);
  check_normals(mesh);
  if (walls.contains("axial")) CHECK(whole_wall(mesh, "axial").normal.x() < -0.9);
}

TEST_CASE("Every facet of a wall shares an edge with another of it", "[mesh]") {
  const double size = GENERATE(0.44, 0.8);
  const Mesh mesh = build_mesh(tooth_with(deep_proximal_box()), fineness(size));
  std::map<std::pair<int, int>, std::vector<int>> walls_along;
  const auto edge = [](const BondFacet& facet, std::size_t i) {
    return std::minmax({facet.tooth[i], facet.tooth[(i + 1) % 3]});
  };
  for (const BondFacet& facet : mesh.bond)
    for (std::size_t i = 0; i < 3; ++i) walls_along[edge(facet, i)].push_back(facet.wall);
  for (const BondFacet& facet : mesh.bond) {
    long of_its_wall = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      const std::vector<int>& walls = walls_along[edge(facet, i)];
      of_its_wall += std::count(walls.begin(), walls.end(), facet.wall) - 1;
    }
    CHECK(of_its_wall > 0);
  }
}

TEST_CASE("A distal box is the mirror image of a mesial one", "[mesh]") {
  Preparation preparation{.kind = Kind::proximal_box_with_step, .line_angle_radius = 0};
  const Mesh mesial = build_mesh(tooth_with(preparation), fineness("coarse"));
  preparation.side = Side::distal;
  const Mesh distal = build_mesh(tooth_with(preparation), fineness("coarse"));
  CHECK(names(distal.walls) ==
        std::set<std::string>{"floor", "buccal", "lingual", "axial", "pulpal floor", "mesial"});
  check_normals(distal);
  CHECK(whole_wall(distal, "axial").normal.x() > 0.9);
  CHECK(whole_wall(distal, "mesial").area == Approx(whole_wall(mesial, "distal").area));
  CHECK(volume_of_filling(distal) == Approx(volume_of_filling(mesial)));
}

TEST_CASE("The bevel is a wall of its own at 45 degrees", "[mesh]") {
  Preparation preparation{.kind = Kind::proximal_box_with_step, .line_angle_radius = 0, .bevel = 0.4};
  const Mesh sharp = build_mesh(tooth_with(preparation), fineness("coarse"));
  CHECK(whole_wall(sharp, "bevel").normal.z() == Approx(std::sqrt(0.5)).epsilon(1e-8));
  preparation.line_angle_radius = 0.4;
  const Mesh round =
      build_mesh(tooth_with(preparation), fineness(0.3));  // chords tilt facets at the round corners
  CHECK(whole_wall(round, "bevel").normal.z() == Approx(std::sqrt(0.5)).epsilon(0.02));
}

TEST_CASE("Outer surfaces of the tooth are where their names say", "[mesh]") {
  const Mesh mesh = build_mesh(tooth_with(deep_proximal_box()), fineness("coarse"));
  std::set<std::string> found;
  for (const Surface& surface : mesh.surfaces) {
    found.insert(surface.name);
    for (const SixNodes& facet : surface.facets) {
      const Eigen::Vector3d normal = area_and_normal(mesh, facet).normal;
      const Eigen::Vector3d at = mesh.nodes[static_cast<std::size_t>(facet[3])];
      if (surface.name == "base") CHECK((normal.z() < -0.99 && at.z() == Approx(-5)));
      if (surface.name == "root surface") CHECK((std::abs(normal.z()) < 1e-6 && at.z() < 1e-9));
      if (surface.name == "crown surface") CHECK((std::abs(normal.z()) < 1e-6 && at.z() > -1e-9));
      if (surface.name == "occlusal buccal" || surface.name == "occlusal lingual") CHECK(normal.z() > 0.99);
    }
  }
  CHECK(found == std::set<std::string>{"base", "root surface", "crown surface", "occlusal buccal",
                                       "occlusal lingual", "filling surface"});
}
