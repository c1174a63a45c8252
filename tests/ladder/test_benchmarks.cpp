// NAFEMS, The Standard NAFEMS Benchmarks, TNSB rev. 3 (1990): LE10, thick plate under pressure, and LE11,
// solid of revolution heated unevenly.
#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/ladder/field_probe.hpp"
#include "tests/solved_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace benchmarks {
namespace {

const std::string chapter = "Benchmarks";
const std::string no_plan = "[plan]\nend = \"1 s\"\n";
constexpr double modulus = 210'000, poisson = 0.3;  // [MPa], [-]

/// A stress against the size of the elements [mm], finest last.
struct Refined {
  Series found{"computed", Series::Style::points, {}, {}};
  std::string mesh;
  template <class Solve>
  Refined(const std::vector<double>& sizes, const Solve& solve) {
    for (const double size : sizes) {
      const auto [stress, text] = solve(size);
      found.x.push_back(size);
      found.y.push_back(stress);
      mesh = text;
    }
  }
  [[nodiscard]] Curve curve(double target, const std::string& label) const {
    return {
        .x_label = "element size (mm)",
        .y_label = label,
        .series = {{"published", Series::Style::line, {found.x.back(), found.x.front()}, {target, target}},
                   found}};
  }
};

}  // namespace

TEST_CASE("LE10: thick elliptic plate under pressure", "[verification]") {
  const Refined refined({400, 250, 150, 100}, [](double size) {
    const SolvedCase solved("[specimen]\nkind = \"elliptic-plate\"\n" + no_plan +
                            fixture_only(modulus, poisson) + mesh(size, size, size) + linear_solver +
                            hold("x0", "x") + hold("y0", "y") + hold("outer lower", "xy") +
                            hold("outer upper", "xy") +
                            hold("outer lower", "z", "meeting = \"outer upper\"") + pressure("top", 1.0));
    const FieldProbe probe(solved.volume());
    return std::pair{probe.stress({2000, 0, 600}, "solid", {modulus, poisson})(1), solved.mesh_text()};
  });
  const double target = -5.38;
  verify({.chapter = chapter,
          .title = "LE10, thick elliptic plate: stress along y at (2000, 0, 600)",
          .source = "NAFEMS, The Standard NAFEMS Benchmarks, TNSB rev. 3 (1990), LE10",
          .formula = "sigma_yy = -5.38 MPa",
          .mesh = refined.mesh,
          .tolerance_because = "what second-order tetrahedra are held to elsewhere",
          .comparisons = {within_share("sigma_yy", "MPa", target, refined.found.y.back(), 0.02)},
          .curves = {refined.curve(target, "sigma_yy (MPa)")}});
}

TEST_CASE("LE11: solid of revolution heated unevenly", "[verification]") {
  static constexpr double expansion =
      2.3e-4 * 1e-3;  // 1/degree times degrees/mm: T = r + z with both in metres
  const Refined refined({300, 200, 120, 80}, [](double size) {
    const SolvedCase solved(
        "[specimen]\nkind = \"tapered-cylinder\"\n" + no_plan + fixture_only(modulus, poisson) +
        mesh(size, size, size) + linear_solver + hold("x0", "x") + hold("y0", "y") + hold("bottom", "z") +
        hold("top", "z") +
        fmt::format(
            "\n[[free_strain]]\nregion = \"solid\"\ngradient = [0.0, 0.0, {:.17g}]\nradial = {:.17g}\n",
            expansion, expansion));
    const Elasticity hot{modulus, poisson,
                         [](const Eigen::Vector3d& p) { return expansion * (p.head<2>().norm() + p.z()); }};
    const FieldProbe probe(solved.volume());
    return std::pair{probe.stress({1000, 0, 0}, "solid", hot)(2), solved.mesh_text()};
  });
  const double target = -105;
  verify({.chapter = chapter,
          .title = "LE11, heated solid of revolution: stress along z at (1000, 0, 0)",
          .source = "NAFEMS, The Standard NAFEMS Benchmarks, TNSB rev. 3 (1990), LE11",
          .formula = "sigma_zz = -105 MPa",
          .mesh = refined.mesh,
          .tolerance_because =
              "what second-order tetrahedra are held to elsewhere; the round inner face is a polyhedron",
          .comparisons = {within_share("sigma_zz", "MPa", target, refined.found.y.back(), 0.02)},
          .curves = {refined.curve(target, "sigma_zz (MPa)")}});
}

}  // namespace benchmarks
