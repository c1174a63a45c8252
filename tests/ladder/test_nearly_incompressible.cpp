// Nearly incompressible solids: second-order tetrahedra with four stress points against closed solutions,
// where lower-order elements lock.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/ladder/field_probe.hpp"
#include "tests/ladder/inclusions.hpp"
#include "tests/solved_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace nearly_incompressible {
namespace {

double tension_of(const SolvedCase& solved) {
  return solved.bond_row("all").at("end").at("normal_traction_mean_MPa").get<double>();
}

/// A cylinder in plane strain under pressure from inside, outside free: its bore must grow with hardly any
/// change of volume.
struct Cylinder {
  static constexpr double a = 2.5, b = 5, modulus = 18'000, inside = 10;
  double poisson;
  [[nodiscard]] double bore() const {
    return (1 + poisson) * inside * a * ((1 - 2 * poisson) * a * a + b * b) / (modulus * (b * b - a * a));
  }
  [[nodiscard]] SolvedCase solve(double size) const {
    return SolvedCase(
        "[specimen]\nkind = \"elliptic-plate\"\ninner_x = 2.5\ninner_y = 2.5\nouter_x = 5.0\nouter_y = 5.0\n"
        "thickness = 0.6\n[plan]\nend = \"1 s\"\n" +
        fixture_only(modulus, poisson) + mesh(size, size, size) + linear_solver + hold("x0", "x") +
        hold("y0", "y") + hold("bottom", "z") + hold("top", "z") + pressure("inner", inside));
  }
};

}  // namespace

TEST_CASE("nearly incompressible solids stay within one per cent of the closed solution", "[verification]") {
  Check check{
      .chapter = "Closed solutions: nearly incompressible",
      .title = "Poisson's ratio 0.45, 0.49 and 0.499",
      .source = "Lame (Timoshenko and Goodier 1970, from memory); plug: derived",
      .formula = "u(a) = (1+nu) p a ((1-2nu) a2 + b2)/(E (b2-a2)); plug in a ring, plane strain, as above",
      .mesh = "",
      .tolerance_because = "the stated error of the program for displacements and mean tractions",
      .comparisons = {}};
  for (const double poisson : {0.45, 0.49, 0.499}) {
    const Cylinder cylinder{poisson};
    const SolvedCase bore = cylinder.solve(0.3);
    check.mesh = bore.mesh_text();
    check.comparisons.push_back(
        within_share(fmt::format("growth of the bore, nu {}", poisson), "mm", cylinder.bore(),
                     FieldProbe(bore.volume()).displacement({2.5, 0, 0.3}).x(), 0.01));
    const Inclusion plug{
        .inner = 2.5, .outer = 5, .solids = {.composite_poisson = poisson, .fixture_poisson = poisson}};
    const SolvedCase set(plug_case(plug, film(240'000, 90'000), true, mesh(0.3, 0.5, 0.7)));
    check.comparisons.push_back(within_share(fmt::format("tension at the bond of a plug, nu {}", poisson),
                                             "MPa", plug.plane_strain(1 / (240'000 * 2.5)), tension_of(set),
                                             0.01));
  }
  verify(check);
}

}  // namespace nearly_incompressible
