// The surface that is drawn of a preparation against the mesh that is solved on, and against closed formulas.

#include "mesh/build/build_mesh.hpp"

#include <Eigen/Geometry>
#include <catch2/catch.hpp>

#include "tests/mesh/tooth_cases.hpp"

using namespace setstress;
using namespace setstress::test;
using Kind = Preparation::Kind;

namespace {

Eigen::Vector3d corner(const PreparedSurface& surface, const PreparedSurface::Triangle& triangle,
                       std::size_t i) {
  return surface.points[static_cast<std::size_t>(triangle.corners[i])];
}

/// Twice the area, along the normal out of the tooth.
Eigen::Vector3d normal(const PreparedSurface& surface, const PreparedSurface::Triangle& triangle) {
  const Eigen::Vector3d a = corner(surface, triangle, 0);
  return (corner(surface, triangle, 1) - a).cross(corner(surface, triangle, 2) - a);
}

/// By the divergence theorem.
double enclosed_volume(const PreparedSurface& surface) {
  double volume = 0;
  for (const auto& triangle : surface.triangles)
    volume += corner(surface, triangle, 0).dot(normal(surface, triangle)) / 6;
  return volume;
}

double area_of_wall(const PreparedSurface& surface, const std::string& wall) {
  double area = 0;
  for (const auto& triangle : surface.triangles)
    if (triangle.wall >= 0 && surface.walls[static_cast<std::size_t>(triangle.wall)] == wall)
      area += 0.5 * normal(surface, triangle).norm();
  return area;
}

}  // namespace

TEST_CASE("A drawn surface encloses the tooth and has the walls of the mesh", "[mesh]") {
  const Kind kind = GENERATE(Kind::proximal_box, Kind::proximal_box_with_step);
  Preparation preparation = deep_proximal_box();
  preparation.kind = kind;
  const ToothCase tooth = tooth_with(preparation);
  const PreparedSurface surface = prepared_surface(tooth);
  const Mesh mesh = build_mesh(tooth, fineness("coarse"));
  double volume = 0;
  const std::vector<double> volumes = region_volumes(mesh);
  for (std::size_t r = 0; r < volumes.size(); ++r)
    if (!mesh.regions[r].is_filling()) volume += volumes[r];
  // Both follow rounded line angles by chords: 0.5 % is ten times what is seen.
  CHECK(enclosed_volume(surface) == Approx(volume).epsilon(0.005));
  REQUIRE(surface.walls.size() == mesh.walls.size());
  const std::vector<double> areas = wall_areas(mesh);
  for (std::size_t w = 0; w < areas.size(); ++w)
    CHECK(area_of_wall(surface, mesh.walls[w]) == Approx(areas[w]).epsilon(0.03));
  CHECK(surface.free_area == Approx(configuration_factors(mesh).whole.free).epsilon(0.005));
}

TEST_CASE("A drawn cylinder is round", "[mesh]") {
  Preparation preparation{.kind = Preparation::Kind::cylinder, .depth = 4, .diameter = 4, .taper = 3};
  const double top = 2 + 4 * std::tan(radians(3));
  CHECK(prepared_surface(tooth_with(preparation)).free_area ==
        Approx(std::numbers::pi * top * top).epsilon(0.005));
}

TEST_CASE("A drawn floor with sharp line angles is a rectangle that looks up", "[mesh]") {
  Preparation preparation = deep_proximal_box();
  preparation.line_angle_radius = 0;
  const PreparedSurface surface = prepared_surface(tooth_with(preparation));
  CHECK(area_of_wall(surface, "floor") == Approx(1.8 * 4).epsilon(1e-8));
  for (const auto& triangle : surface.triangles)
    if (triangle.wall >= 0 && surface.walls[static_cast<std::size_t>(triangle.wall)] == "floor")
      CHECK(normal(surface, triangle).normalized().z() == Approx(1));
}

TEST_CASE("Triangles of a closed surface are turned to the outside, each piece by itself", "[mesh]") {
  PreparedSurface surface;
  for (const double x : {0.0, 10.0})
    for (const Eigen::Vector3d& at : {Eigen::Vector3d{0, 0, 0}, Eigen::Vector3d{1, 0, 0},
                                      Eigen::Vector3d{0, 1, 0}, Eigen::Vector3d{0, 0, 1}})
      surface.points.emplace_back(at.x() + x, at.y(), at.z());
  for (const int first : {0, 4})
    for (const auto& [a, b, c] : {std::array{0, 1, 2}, {0, 1, 3}, {1, 3, 2}, {0, 3, 2}})
      surface.triangles.push_back({{first + a, first + b, first + c}, 0, -1});
  orient_outwards(surface);
  CHECK(enclosed_volume(surface) == Approx(2.0 / 6));
}
