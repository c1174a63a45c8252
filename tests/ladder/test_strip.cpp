// A strip of composite setting on a strip of dentin bends: Timoshenko 1925, J Opt Soc Am 11:233.
#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/ladder/field_probe.hpp"
#include "tests/solved_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace strip {
namespace {

const std::string chapter = "Closed solutions: strip of two materials";

/// Composite (thickness t1, on top) on substrate (t2); half of it, from the plane of symmetry x = 0 to its
/// free end.
struct Strip {
  double length = 20, width = 1, t1 = 1, t2 = 1;
  Solids solids = {};
  [[nodiscard]] double curvature() const {
    const double m = t2 / t1, n = solids.fixture_modulus / solids.composite_modulus, h = t1 + t2;
    return 6 * solids.shrinkage * (1 + m) * (1 + m) /
           (h * (3 * (1 + m) * (1 + m) + (1 + m * n) * (m * m + 1 / (m * n))));
  }
  /// Mean stress of the composite [MPa]: its force over its section, from the balance of moments.
  [[nodiscard]] double composite_mean() const {
    const double i1 = t1 * t1 * t1 / 12, i2 = t2 * t2 * t2 / 12;
    return curvature() * (solids.composite_modulus * i1 + solids.fixture_modulus * i2) / (0.5 * (t1 + t2)) /
           t1;
  }
  [[nodiscard]] double composite_bending() const { return 0.5 * solids.composite_modulus * t1 * curvature(); }
  [[nodiscard]] double substrate_bending() const { return 0.5 * solids.fixture_modulus * t2 * curvature(); }
};

SolvedCase solve(const Strip& strip, double size, bool held_across = false) {
  return SolvedCase(fmt::format("[specimen]\nkind = \"bimaterial-strip\"\nlength = {}\nwidth = {}\n"
                                "substrate_thickness = {}\nfilling_thickness = {}\n",
                                strip.length, strip.width, strip.t2, strip.t1) +
                    materials(strip.solids) + lit_at_once + mesh(size, size, size, true) + linear_solver +
                    hold("x0", "x") + hold("y0", "y") + hold("x0", "z", "meeting = \"bottom\"") +
                    (held_across ? hold("y1", "y") : ""));
}

double sag(const FieldProbe& probe, double x) {
  return probe.displacement({x, 0, 0}).z() - probe.displacement({0, 0, 0}).z();
}

/// From the displacements half way, where neither end is felt.
double curvature_of(const FieldProbe& probe) {
  const double near = probe.nearest({5, 0, 0}).x(), far = probe.nearest({15, 0, 0}).x();
  return 2 * (sag(probe, far) - sag(probe, near)) / (far * far - near * near);
}

}  // namespace

TEST_CASE("a strip of two materials bends as Timoshenko found", "[verification]") {
  Strip strip;
  strip.solids.composite_poisson = strip.solids.fixture_poisson = 0;  // width then has no part in it
  const SolvedCase solved = solve(strip, 0.5);
  const FieldProbe probe(solved.volume());
  const Elasticity composite{10'000, 0, [](const Eigen::Vector3d&) { return -0.002; }}, dentin{18'000, 0};
  const auto in_composite = [&](double z) { return probe.stress({10, 0, z}, "increment 1", composite)(0); };
  const auto in_dentin = [&](double z) { return probe.stress({10, 0, z}, "substrate", dentin)(0); };
  const double k = strip.curvature(), mean = strip.composite_mean(),
               dentin_mean = -mean * strip.t1 / strip.t2;
  verify({.chapter = chapter,
          .title = "Dentin and composite, 1 mm each, 20 mm long",
          .source = "Timoshenko 1925 J Opt Soc Am 11:233 (from memory); in brackets worked by hand",
          .formula =
              "k = 6 e (1+m)2/{h [3 (1+m)2 + (1+mn)(m2 + 1/(mn))]}, m = t2/t1, n = E2/E1; half of the strip, "
              "from its plane of symmetry",
          .mesh = solved.mesh_text(),
          .tolerance_because =
              "in the middle the beam solution is exact (nu 0); the free end unbends over one height",
          .comparisons = {
              within_share("curvature (1.4674e-3)", "1/mm", k, curvature_of(probe), 0.001),
              within_share("rise of the end at 20 mm (0.2935)", "mm", 200 * k, sag(probe, 20), 0.005),
              within_share("rise at 10 mm: sag of a 20 mm strip on two supports (0.0734)", "mm", 50 * k,
                           sag(probe, 10), 0.001),
              within_share("dentin, outer face (+9.78)", "MPa", dentin_mean + strip.substrate_bending(),
                           in_dentin(-1), 0.002),
              within_share("dentin, interface (-16.63)", "MPa", dentin_mean - strip.substrate_bending(),
                           in_dentin(0), 0.002),
              within_share("composite, interface (+10.76)", "MPa", mean + strip.composite_bending(),
                           in_composite(0), 0.002),
              within_share("composite, outer face (-3.91)", "MPa", mean - strip.composite_bending(),
                           in_composite(1), 0.002)}});
}

TEST_CASE("a strip of equal moduli bends to 1.5 e/h", "[verification]") {
  Strip strip;
  strip.solids = {.composite_poisson = 0, .fixture_modulus = 10'000, .fixture_poisson = 0};
  const SolvedCase solved = solve(strip, 0.5);
  const FieldProbe probe(solved.volume());
  verify(
      {.chapter = chapter,
       .title = "Equal moduli",
       .source = "Timoshenko 1925 J Opt Soc Am 11:233 (from memory)",
       .formula = "k = 1.5 e/h; end 3 L2 e/(4 h)",
       .mesh = solved.mesh_text(),
       .tolerance_because = "as above",
       .comparisons = {within_share("curvature (1.5e-3)", "1/mm", 1.5e-3, curvature_of(probe), 0.001),
                       within_share("rise of the end at 20 mm (0.3000)", "mm", 0.3, sag(probe, 20), 0.005)}});
}

// Held across its width, a strip has E/(1 - nu^2) for E and, as the held width shrinks too, (1 + nu) e for e
// (derived).
TEST_CASE("a strip held across its width bends as a wide plate would", "[verification]") {
  Strip strip;
  const Solids& s = strip.solids;
  Strip wide = strip;
  wide.solids.composite_modulus = s.composite_modulus / (1 - s.composite_poisson * s.composite_poisson);
  wide.solids.fixture_modulus = s.fixture_modulus / (1 - s.fixture_poisson * s.fixture_poisson);
  wide.solids.shrinkage = s.shrinkage * (1 + s.composite_poisson);
  const SolvedCase solved = solve(strip, 0.5, true);
  const FieldProbe probe(solved.volume());
  verify({.chapter = chapter,
          .title = "Held across its width, nu 0.3 and 0.31",
          .source = "derived from Timoshenko 1925 for plane strain",
          .formula = "E/(1 - nu2) for E, (1 + nu) e for e",
          .mesh = solved.mesh_text(),
          .tolerance_because = "as above",
          .comparisons = {within_share("curvature", "1/mm", wide.curvature(), curvature_of(probe), 0.001)}});
}

}  // namespace strip
