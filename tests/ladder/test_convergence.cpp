// Method of manufactured solutions (Roache 2002, J Fluids Eng 124:4, doi 10.1115/1.1436090): a displacement
// is chosen, the loads that belong to it are derived, and the error must fall with the element size as the
// theory of second-order elements says: order 3 in the L2 norm of the displacement, order 2 in the energy
// norm (Strang & Fix, An Analysis of the Finite Element Method, 1973, ch. 3).
#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <cmath>

#include "mesh/build/build_mesh.hpp"
#include "tests/check_record.hpp"
#include "tests/ladder/manufactured.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace convergence {
namespace {

const std::string source =
    "method: Roache 2002 J Fluids Eng 124:4 doi 10.1115/1.1436090; orders: Strang and Fix 1973, An Analysis "
    "of the "
    "Finite Element Method";

ElasticWave composite_wave(double poisson) {
  return {.amplitude = {0.01, -0.02, 0.015},
          .wave = {2.0, 3.0, -1.5},
          .phase = 0.4,
          .youngs_modulus = 10'000,
          .poisson_ratio = poisson};
}
ElasticWave dentin_wave() {
  return {.amplitude = {-0.012, 0.01, 0.02},
          .wave = {-1.0, 2.5, 2.0},
          .phase = 1.1,
          .youngs_modulus = 18'000,
          .poisson_ratio = 0.31};
}

struct Ladder {
  std::vector<double> size, displacement, energy;
  std::string mesh;
};

Ladder climb(const Specimen& specimen, const Manufactured& problem, const std::vector<double>& sizes) {
  Ladder ladder;
  for (const double size : sizes) {
    const ManufacturedError error = solve_manufactured(build_mesh(specimen, {size, size, size}), problem);
    ladder.size.push_back(error.size);
    ladder.displacement.push_back(error.displacement);
    ladder.energy.push_back(error.energy);
    ladder.mesh += fmt::format("{}{}", ladder.mesh.empty() ? "" : ", ", error.unknowns);
  }
  ladder.mesh += " unknowns";
  return ladder;
}

Curve falling(const Ladder& ladder) {
  Series order_3{"order 3", Series::Style::line, {}, {}}, order_2{"order 2", Series::Style::line, {}, {}};
  for (const double h : {ladder.size.front(), ladder.size.back()}) {
    order_3.x.push_back(h);
    order_3.y.push_back(ladder.displacement.back() * std::pow(h / ladder.size.back(), 3));
    order_2.x.push_back(h);
    order_2.y.push_back(ladder.energy.back() * std::pow(h / ladder.size.back(), 2));
  }
  return {.x_label = "element size (mm)",
          .y_label = "relative error",
          .series = {order_3,
                     order_2,
                     {"displacement, computed", Series::Style::points, ladder.size, ladder.displacement},
                     {"energy norm, computed", Series::Style::points, ladder.size, ladder.energy}},
          .logarithmic_x = true,
          .logarithmic_y = true};
}

void verify_orders(const std::string& title, const Ladder& ladder) {
  const double displacement = observed_order(ladder.size, ladder.displacement),
               energy = observed_order(ladder.size, ladder.energy);
  WARN(title << ": order " << displacement << " in displacement, " << energy << " in energy");
  verify({.chapter = "Convergence",
          .title = title,
          .source = source,
          .formula = "error ~ h^3 (displacement, L2), h^2 (energy norm)",
          .mesh = ladder.mesh,
          .tolerance_because = "the theory bounds the order from below; meshes are not each other's "
                               "refinements, so that the slope "
                               "scatters by 0.2",
          .comparisons = {at_least("order in displacement (3)", "-", 2.8, displacement),
                          at_least("order in the energy norm (2)", "-", 1.85, energy)},
          .curves = {falling(ladder)}});
}

}  // namespace

TEST_CASE("the tetrahedron converges with order 3 in displacement and 2 in energy", "[rate]") {
  verify_orders("Second-order tetrahedra",
                climb(FreeBlock{}, {{composite_wave(0.3)}}, {0.25, 0.18, 0.13, 0.09, 0.065}));
}

TEST_CASE("two solids glued by a film of finite stiffness converge with the same orders", "[rate]") {
  const double stiffness = GENERATE(1e3, 2.4e5);
  const LayerOnBase glued{.length = 1, .width = 1, .thickness = 0.5, .base_thickness = 0.5};
  verify_orders(fmt::format("Two solids glued by a film of {:g} MPa/mm", stiffness),
                climb(glued, {{dentin_wave(), composite_wave(0.3)}, stiffness, 0.4 * stiffness},
                      {0.35, 0.25, 0.18, 0.13, 0.09}));
}

}  // namespace convergence
