// Load passing through a film in shear: Volkersen's lap joint, and a layer that shrinks on a rigid base. Both
// theories have one dimension; they hold for adherends that are thin against their length, so the joints here
// are thin and are compared at equal wL/2, on which alone the shapes of the curves depend.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/ladder/field_probe.hpp"
#include "tests/solved_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace shear_lag {
namespace {

const std::string chapter = "Closed solutions: shear lag";
const std::string thin_because =
    "the adherends give in shear as well, by 2 t Kt/(3 G) of the film, at most 1.1 %, which the theory "
    "leaves out (Tsai, "
    "Oplinger and Morton 1998 Int J Adhes Adhes 18:243, from memory)";
constexpr double modulus = 10'000, length = 4;  // [MPa], [mm]

/// Mean of the shear traction at the bond's nodes nearest to x [MPa].
double shear_at(const BondSurface& bond, double x) {
  const Eigen::MatrixXd& shear = bond.point_field("shear_traction");
  double nearest = 1e300, sum = 0;
  int count = 0;
  for (const Eigen::Vector3d& p : bond.points) nearest = std::min(nearest, std::abs(p.x() - x));
  for (std::size_t i = 0; i < bond.points.size(); ++i)
    if (std::abs(std::abs(bond.points[i].x() - x) - nearest) < 1e-6) {
      sum += shear(static_cast<Eigen::Index>(i), 0);
      ++count;
    }
  return sum / count;
}

/// Shear traction over `unit` at the bond's nodes.
Series computed_along(const BondSurface& bond, double unit, const std::string& label) {
  Series series{label, Series::Style::points, {}, {}};
  for (int i = 0; i <= 40; ++i) {
    series.x.push_back(length * i / 40.0);
    series.y.push_back(shear_at(bond, series.x.back()) / unit);
  }
  return series;
}

template <class Function>
Series theory_along(const std::string& label, const Function& f) {
  Series series{label, Series::Style::line, {}, {}};
  for (int i = 0; i <= 80; ++i) {
    series.x.push_back(length * i / 80.0);
    series.y.push_back(f(series.x.back()));
  }
  return series;
}

/// Two adherends of `thickness` [mm] whose film has the stiffness that gives wL/2 = `half`.
struct Lap {
  double half, thickness, size;
  [[nodiscard]] double stiffness() const { return 2 * modulus * thickness * half * half / (length * length); }
  [[nodiscard]] double over_mean(double x) const {
    return half * std::cosh(half * (2 * x / length - 1)) / std::sinh(half);
  }
  [[nodiscard]] SolvedCase solve() const {
    const Solids plain{
        .composite_poisson = 0, .shrinkage = 0, .fixture_modulus = modulus, .fixture_poisson = 0};
    return SolvedCase(
        fmt::format("[specimen]\nkind = \"lap-joint\"\noverlap = {}\nwidth = {}\nthickness = {}\n", length,
                    size, thickness) +
        materials(plain) + film(1e6, stiffness()) + lit_at_once + mesh(size, size, size) + linear_solver +
        hold("lower end", "x") + hold("y0", "y") + hold("bottom", "z") + hold("top", "z") +
        pressure("upper end", -1.0));
  }
};

/// A layer on a base that does not give: film stiffness from lam L/2 = `half`.
struct Layer {
  double half, thickness, size;
  static constexpr double shrinkage = 0.002;
  [[nodiscard]] double stiffness() const { return 4 * modulus * thickness * half * half / (length * length); }
  [[nodiscard]] double end_shear() const {
    return modulus * shrinkage * thickness * (2 * half / length) * std::tanh(half);
  }
  [[nodiscard]] double middle_stress() const { return modulus * shrinkage * (1 - 1 / std::cosh(half)); }
  [[nodiscard]] SolvedCase solve() const {
    const Solids rigid_base{.composite_poisson = 0, .fixture_modulus = 1e12, .fixture_poisson = 0};
    return SolvedCase(
        fmt::format("[specimen]\nkind = \"layer-on-base\"\nlength = {}\nwidth = {}\nthickness = {}\n"
                    "base_thickness = {}\n",
                    length, size, thickness, size) +
        materials(rigid_base) + film(1e6, stiffness()) + lit_at_once + mesh(size, size, size) +
        linear_solver + hold("bottom") + hold("y0", "y") + hold("top", "z"));
  }
};

}  // namespace

TEST_CASE("a lap joint carries its shear as Volkersen found", "[verification]") {
  Check check{.chapter = chapter,
              .title = "Lap joint of equal adherends: shear traction over its mean",
              .source = "Volkersen 1938 Luftfahrtforschung 15:41 (from memory); in brackets worked by hand",
              .formula = "w2 = 2 Kt/(E t); at the ends (wL/2) coth(wL/2), in the middle (wL/2)/sinh(wL/2)",
              .mesh = "",
              .tolerance_because = thin_because,
              .comparisons = {},
              .curves = {{.x_label = "x (mm)", .y_label = "shear traction over its mean", .series = {}}}};
  const std::vector<std::pair<Lap, std::string>> laps{
      {{std::sqrt(0.4), 0.1, 0.1}, "1.1299"}, {{2, 0.1, 0.1}, "2.0746"}, {{6.0762, 0.03, 0.04}, "6.0765"}};
  for (const auto& [lap, by_hand] : laps) {
    const SolvedCase solved = lap.solve();
    const BondSurface bond = solved.bond();
    const double mean = lap.thickness / length;  // 1 MPa over the section, over the bond
    const std::string half = fmt::format("wL/2 = {:.3f}", lap.half);
    const auto curve = [&, shape = lap](double x) { return shape.over_mean(x); };
    check.mesh = solved.mesh_text();
    check.comparisons.push_back(within_share(fmt::format("end, {} ({})", half, by_hand), "-", curve(0),
                                             shear_at(bond, 0) / mean, 0.015));
    check.comparisons.push_back(within("middle, " + half, "-", curve(2), shear_at(bond, 2) / mean, 0.015));
    check.curves[0].series.push_back(theory_along("Volkersen, " + half, curve));
    check.curves[0].series.push_back(computed_along(bond, mean, "computed, " + half));
  }
  verify(check);
}

TEST_CASE("a layer that shrinks on a rigid base pulls at its ends", "[verification]") {
  Check check{
      .chapter = chapter,
      .title = "Layer shrinking on a rigid base",
      .source = "derived (shear lag as Volkersen 1938); in brackets worked by hand for t 1 mm",
      .formula = "lam2 = Kt/(E t); end shear (Kt e/lam) tanh(lam L/2); middle E e (1 - 1/cosh(lam L/2))",
      .mesh = "",
      .tolerance_because = thin_because,
      .comparisons = {},
      .curves = {}};
  const std::vector<std::tuple<Layer, std::string, std::string>> layers{
      {{std::sqrt(0.4), 0.1, 0.1}, "3.540", "3.427"},
      {{2, 0.1, 0.1}, "19.281", "14.684"},
      {{std::sqrt(36.9232), 0.03, 0.04}, "60.76", "19.91"}};
  for (const auto& [layer, end_by_hand, middle_by_hand] : layers) {
    const SolvedCase solved = layer.solve();
    const Elasticity composite{modulus, 0, [](const Eigen::Vector3d&) { return -Layer::shrinkage; }};
    const double middle =
        FieldProbe(solved.volume()).stress({0.5 * length, 0, layer.thickness}, "increment 1", composite)(0);
    check.mesh = solved.mesh_text();
    check.comparisons.push_back(within_share(
        fmt::format("end shear over t, lam L/2 = {:.3f} ({})", layer.half, end_by_hand), "MPa/mm",
        layer.end_shear() / layer.thickness, shear_at(solved.bond(), 0) / layer.thickness, 0.015));
    check.comparisons.push_back(
        within_share(fmt::format("stress in the middle, lam L/2 = {:.3f} ({})", layer.half, middle_by_hand),
                     "MPa", layer.middle_stress(), middle, 0.015));
  }
  verify(check);
}

}  // namespace shear_lag
