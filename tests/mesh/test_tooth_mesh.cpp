// What every mesh of a tooth must be: conforming, closed, split along the bond, the same every time.

#include <algorithm>
#include <catch2/catch.hpp>
#include <csignal>
#include <set>

#include "mesh/mesher/sliver_repair.hpp"
#include "tests/mesh/tooth_cases.hpp"

using namespace setstress;
using namespace setstress::test;
using Kind = Preparation::Kind;

namespace {

std::set<int> nodes_of(const Mesh& mesh, bool filling) {
  std::set<int> nodes;
  for (const Tetrahedron& t : mesh.tetrahedra)
    if (mesh.regions[static_cast<std::size_t>(t.region)].is_filling() == filling)
      nodes.insert(t.nodes.begin(), t.nodes.end());
  return nodes;
}

std::vector<int> shared(const std::set<int>& a, const std::set<int>& b) {
  std::vector<int> both;
  std::set_intersection(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(both));
  return both;
}

/// Volume [mm3] enclosed by facets, by Gauss's theorem.
double enclosed(const Mesh& mesh, const SixNodes& facet) {
  const auto [area, normal] = area_and_normal(mesh, facet);
  return area * normal.dot(mesh.nodes[static_cast<std::size_t>(facet[0])]) / 3;
}

double smallest_radius_ratio(const Mesh& mesh) {
  double smallest = 1;
  for (const Tetrahedron& t : mesh.tetrahedra) {
    const auto at = [&](std::size_t i) { return mesh.nodes[static_cast<std::size_t>(t.nodes[i])]; };
    smallest = std::min(smallest, radius_ratio(at(0), at(1), at(2), at(3)));
  }
  return smallest;
}

ToothCase layered() {
  ToothCase tooth_case = tooth_with(deep_proximal_box());
  tooth_case.layout = oblique_layers(-1, 6, 2, 30, {.half_width = 2});
  return tooth_case;
}

void do_nothing(int) {}

}  // namespace

TEST_CASE("Filling and tooth share no node, increments share theirs", "[mesh]") {
  const Mesh mesh = build_mesh(layered(), fineness("coarse"));
  CHECK(shared(nodes_of(mesh, true), nodes_of(mesh, false)).empty());
  for (const BondFacet& facet : mesh.bond) {
    const auto& tooth = mesh.tetrahedra[static_cast<std::size_t>(facet.tooth_tetrahedron)];
    const auto& filling = mesh.tetrahedra[static_cast<std::size_t>(facet.filling_tetrahedron)];
    const std::set<int> tooth_nodes(tooth.nodes.begin(), tooth.nodes.end());
    const std::set<int> filling_nodes(filling.nodes.begin(), filling.nodes.end());
    REQUIRE(
        std::all_of(facet.tooth.begin(), facet.tooth.end(), [&](int n) { return tooth_nodes.contains(n); }));
    REQUIRE(std::all_of(facet.filling.begin(), facet.filling.end(),
                        [&](int n) { return filling_nodes.contains(n); }));
    const Eigen::Vector4d middle = Eigen::Vector4d::Constant(0.25);
    const Eigen::Vector3d across = position(mesh, filling, middle) - position(mesh, tooth, middle);
    REQUIRE(across.dot(area_and_normal(mesh, facet.tooth).normal) > 0);
  }
}

TEST_CASE("A tied bond shares its nodes and nothing else changes", "[mesh]") {
  MeshSize size = fineness("coarse");
  const Mesh split = build_mesh(tooth_with(deep_proximal_box()), size);
  size.tied_bond = true;
  const Mesh tied = build_mesh(tooth_with(deep_proximal_box()), size);
  std::set<int> on_bond;
  for (const BondFacet& facet : tied.bond) {
    CHECK(facet.tooth == facet.filling);
    on_bond.insert(facet.tooth.begin(), facet.tooth.end());
  }
  CHECK(split.nodes.size() == tied.nodes.size() + on_bond.size());
  CHECK(split.bond.size() == tied.bond.size());
}

// Gauss's theorem: the facets that close the filling enclose the volume of its elements.
TEST_CASE("Bond and filling surface close the filling", "[verification][mesh]") {
  const Mesh mesh = build_mesh(layered(), fineness("coarse"));
  double by_facets = 0;
  for (const BondFacet& facet : mesh.bond) by_facets -= enclosed(mesh, facet.filling);
  for (const Surface& surface : mesh.surfaces)
    if (surface.name == "filling surface")
      for (const SixNodes& facet : surface.facets) by_facets += enclosed(mesh, facet);
  CHECK(by_facets == Approx(volume_of_filling(mesh)).epsilon(1e-10));
}

// Derived: the whole block is length x width x height less the corners outside the edges' chords, each
// r^2 (1 - 3 sin(30 degrees) / 2) for a quarter circle in three chords.
TEST_CASE("Enamel, dentin, pulp and filling make up the block", "[verification][mesh]") {
  ToothCase tooth_case = layered();
  tooth_case.tooth.pulp = Tooth::Pulp{};
  const Mesh mesh = build_mesh(tooth_case, fineness("coarse"));
  const double section = 8 * 9 - 4 * 1.5 * 1.5 * (1 - 1.5 * std::sin(radians(30)));
  double sum = 0;
  for (const double volume : region_volumes(mesh)) sum += volume;
  CHECK(sum == Approx(section * 11).epsilon(1e-8));
  CHECK(volume_of_region(mesh, "pulp") == Approx(3 * 3 * 6).epsilon(1e-8));
}

TEST_CASE("Two builds are identical to the last bit", "[mesh]") {
  const Mesh first = build_mesh(layered(), fineness("coarse"));
  const Mesh second = build_mesh(layered(), fineness("coarse"));
  REQUIRE(first.nodes.size() == second.nodes.size());
  REQUIRE(first.tetrahedra.size() == second.tetrahedra.size());
  CHECK(first.nodes == second.nodes);
  const auto same = [](const Tetrahedron& a, const Tetrahedron& b) {
    return a.nodes == b.nodes && a.region == b.region;
  };
  CHECK(std::equal(first.tetrahedra.begin(), first.tetrahedra.end(), second.tetrahedra.begin(), same));
  CHECK(first.walls == second.walls);
}

TEST_CASE("Named finenesses give the promised sizes and sound elements", "[mesh]") {
  const auto [name, least, most] = GENERATE(table<std::string, int, int>(
      {{"coarse", 10000, 20000}, {"standard", 45000, 60000}, {"fine", 120000, 180000}}));
  const Mesh mesh = build_mesh(tooth_with(deep_proximal_box()), fineness(name));
  CAPTURE(name, mesh.unknowns());
  CHECK(mesh.unknowns() > least);
  CHECK(mesh.unknowns() < most);
  CHECK(smallest_radius_ratio(mesh) > 0.1);
}

TEST_CASE("Meshing leaves the handling of Ctrl-C alone", "[mesh]") {
  const auto before = std::signal(SIGINT, do_nothing);
  build_mesh(Specimen{FreeBlock{}}, fineness(0.5));
  CHECK(std::signal(SIGINT, before) == do_nothing);
}

TEST_CASE("A radius ratio of 1 is the regular tetrahedron", "[verification][mesh]") {
  const Eigen::Vector3d a(1, 1, 1), b(-1, -1, 1), c(-1, 1, -1), d(1, -1, -1);  // corners of a cube
  CHECK(radius_ratio(a, b, c, d) == Approx(1));
  CHECK(radius_ratio(a, b, d, c) == Approx(-1));
  CHECK(radius_ratio(a, b, c, (a + b + c) / 3) == Approx(0).margin(1e-12));
}
