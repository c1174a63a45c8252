// Two equal gaps, each the mirror image of the other, on a mesh and its mirror image joined: the same as one
// gap in front of a plane of symmetry. No source needed: symmetry.

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/solver/model_of.hpp"

using namespace setstress;

namespace mirrored_pockets {
namespace {

constexpr double side = 3, thickness = 1, filled_at = 60, pressed = 70;  // [mm], [mm], [s], [s]
/// Lets go within 0.2 um in the middle, where it is weak, and holds around it.
constexpr BondStrength weak{
    .tensile = 0.3, .shear = 0.3, .fracture_energy_opening = 3e-5, .fracture_energy_sliding = 3e-5};
constexpr double sound = 200, weak_radius = 0.9;  // times the weak strength, [mm]

double factor_at(const Eigen::Vector3d& point) {
  return std::hypot(point.x() - side / 2, point.y() - side / 2) < weak_radius ? 1 : sound;
}

void set_strengths(Model& model) {
  model.strength_factors.clear();
  for (const BondFacet& facet : model.mesh.bond) {
    Eigen::Vector3d middle = Eigen::Vector3d::Zero();
    for (std::size_t k = 0; k < 3; ++k)
      middle += model.mesh.nodes[static_cast<std::size_t>(facet.tooth[k])] / 3;
    std::array<double, 6> factors{};
    factors.fill(factor_at(middle));
    model.strength_factors.push_back(factors);
  }
}

/// A plate of substrate and one of composite on it, drawn apart by shrinkage and pressed from two sides.
Model one_gap() {
  Model model = model_of(
      BimaterialStrip{
          .length = side, .width = side, .substrate_thickness = thickness, .filling_thickness = thickness},
      {.bond = 0.75, .filling = 0.9, .far = 0.9}, always_stiff(10e3, 0.3, 0.0007),
      {.name = "plate", .youngs_modulus = 18e3, .poisson_ratio = 0.3}, uniform_adhesive(1e6, 4e5, weak));
  model.fixed = {hold("x0", true, false, false), hold("y0", false, true, false),
                 hold("bottom", false, false, true), hold("top", false, false, true)};
  model.pressures = {{.surface = "x1", .pressure = 3, .ramp = pressed},
                     {.surface = "y1", .pressure = 3, .ramp = pressed}};
  model.gap_fluid = GapFluid{.from = filled_at, .air_leaves_until = filled_at, .lowest_pressure = -0.1};
  model.timeline.end = pressed;
  model.timeline.extra_frames = {filled_at};
  set_strengths(model);
  return model;
}

/// Nodes of the mirror image at the plane z = `thickness`; those in the plane are their own.
std::vector<int> mirror_nodes(Mesh& mesh) {
  std::vector<int> image;
  const std::size_t before = mesh.nodes.size();
  for (std::size_t n = 0; n < before; ++n) {
    Eigen::Vector3d point = mesh.nodes[n];
    const bool own = std::abs(point.z() - thickness) < 1e-9;
    image.push_back(static_cast<int>(own ? n : mesh.nodes.size()));
    point.z() = 2 * thickness - point.z();
    if (!own) mesh.nodes.push_back(point);
  }
  return image;
}

/// Mirrored, so that the normal points as it did: the first two corners change places.
SixNodes mirrored(const SixNodes& facet, const std::vector<int>& image) {
  SixNodes turned{};
  constexpr std::array<std::size_t, 6> order{1, 0, 2, 3, 5, 4};
  for (std::size_t k = 0; k < 6; ++k) turned[k] = image[static_cast<std::size_t>(facet[order[k]])];
  return turned;
}
Tetrahedron mirrored(const Tetrahedron& one, const std::vector<int>& image) {
  Tetrahedron turned = one;
  constexpr std::array<std::size_t, 10> order{1, 0, 2, 3, 4, 6, 5, 8, 7, 9};
  for (std::size_t k = 0; k < 10; ++k) turned.nodes[k] = image[static_cast<std::size_t>(one.nodes[order[k]])];
  return turned;
}

/// The same with its mirror image joined on top.
Model two_gaps() {
  Model model = one_gap();
  Mesh& mesh = model.mesh;
  const std::vector<int> image = mirror_nodes(mesh);
  const auto half = static_cast<int>(mesh.tetrahedra.size());
  for (int t = 0; t < half; ++t)
    mesh.tetrahedra.push_back(mirrored(mesh.tetrahedra[static_cast<std::size_t>(t)], image));
  const std::size_t facets = mesh.bond.size();
  for (std::size_t f = 0; f < facets; ++f) {
    const BondFacet& one = mesh.bond[f];
    mesh.bond.push_back({mirrored(one.tooth, image), mirrored(one.filling, image), one.wall,
                         one.tooth_tetrahedron + half, one.filling_tetrahedron + half});
  }
  std::erase_if(mesh.surfaces, [](const Surface& surface) { return surface.name == "top"; });
  for (Surface& surface : mesh.surfaces) {
    const std::vector<SixNodes> before = surface.facets;
    for (const SixNodes& facet : before) surface.facets.push_back(mirrored(facet, image));
  }
  require_valid(mesh);
  std::erase_if(model.fixed, [](const FixedSurface& fixed) { return fixed.surface == "top"; });
  model.substrates.assign(mesh.bond.size(), Substrate::fixture);
  set_strengths(model);
  return model;
}

const SolveOptions tight{.mode = Mode::debonding,
                         .largest_time_step = 5,
                         .equilibrium_tolerance = 1e-9,
                         .linear_tolerance = 1e-10};

}  // namespace

TEST_CASE("two gaps that mirror each other hold what one does at a plane of symmetry", "[fluid]") {
  const Frame one = final_frame(one_gap(), tight), two = final_frame(two_gaps(), tight);
  REQUIRE(one.pockets.size() == 1);
  REQUIRE(two.pockets.size() == 2);
  const GapPocket& alone = one.pockets.front();
  CHECK(alone.area > 1);  // of the weak part, 2.5 mm2
  CHECK(alone.pressure > 0.05);
  CHECK(alone.gap_volume > 1e-4);
  const GapPocket &lower = two.pockets[0], &upper = two.pockets[1];
  CAPTURE(alone.pressure, lower.pressure, upper.pressure, alone.gap_volume, lower.gap_volume);
  CHECK(lower.pressure == Approx(upper.pressure).epsilon(1e-7));
  CHECK(lower.gap_volume == Approx(upper.gap_volume).epsilon(1e-7));
  // Seen: 1.2e-5 of the pressure, 1.8e-4 of the volume. The two runs take other steps while the rim softens,
  // which is the likely cause; that it goes with shorter steps was not shown.
  CHECK(lower.area == Approx(alone.area).epsilon(1e-9));
  CHECK(lower.pressure == Approx(alone.pressure).epsilon(1e-3));
  CHECK(lower.gap_volume == Approx(alone.gap_volume).epsilon(1e-3));
}

}  // namespace mirrored_pockets
