// A double cantilever beam pulled open: load and opening while the bond lets go, and what that costs. Beam on
// an elastic foundation after Kanninen 1973, Int J Fract 9:83: the foundation is the film in series with the
// arms themselves (2 E b/h each), and the arms shear.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/solved_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace double_cantilever {
namespace {

/// Two arms of height 1 mm, pulled open over 600 s at x = 0; the bond begins at 10 mm. nu 0, so that width
/// has no part in it.
struct Beam {
  double stiffness, strength, opening;  ///< [MPa/mm], [MPa], at the end [mm]
  static constexpr double modulus = 10'000, height = 1, width = 0.25, crack = 10, fracture_energy = 0.05,
                          ramp = 600;
  static constexpr double bending = 8 / (modulus * width * height * height * height);  ///< 2/(3 EI)
  static constexpr double shearing = 2 * 1.2 / (0.5 * modulus * width * height);       ///< of both arms

  /// Of the foundation [1/mm].
  [[nodiscard]] double root() const {
    const double foundation = 1 / (1 / stiffness + height / modulus);
    return std::pow(6 * foundation / (modulus * std::pow(height, 3)), 0.25);
  }
  /// Opening over load [mm/N] with a crack of length a [mm], and its growth with a [1/N].
  [[nodiscard]] double compliance(double a) const {
    const double l = root();
    return bending * (a * a * a + 3 * a * a / l + 3 * a / (l * l) + 1.5 / (l * l * l)) + shearing * a;
  }
  [[nodiscard]] double growth(double a) const {
    const double l = root();
    return bending * (3 * a * a + 6 * a / l + 3 / (l * l)) + shearing;
  }
  /// Load [N] at which a crack of length a runs.
  [[nodiscard]] double load(double a) const { return std::sqrt(2 * width * fracture_energy / growth(a)); }
  [[nodiscard]] double opening_at(double a) const { return load(a) * compliance(a); }
  /// Load at which the crack runs that is open by `wide` [mm].
  [[nodiscard]] double running_load(double wide) const {
    double low = crack, high = 30;
    for (int i = 0; i < 60; ++i) (opening_at(0.5 * (low + high)) < wide ? low : high) = 0.5 * (low + high);
    return load(low);
  }
};

SolvedCase solve(const Beam& beam, double size) {
  const auto pulled = [&](double way) {
    return fmt::format("value = {:.17g}\nramp = {:.17g}", way, Beam::ramp);
  };
  return SolvedCase(
      fmt::format(
          "[specimen]\nkind = \"double-cantilever-beam\"\nlength = 19.0\nwidth = {}\narm_height = 1.0\n"
          "crack_length = 10.0\n",
          Beam::width) +
      materials(
          {.composite_poisson = 0, .shrinkage = 0, .fixture_modulus = Beam::modulus, .fixture_poisson = 0}) +
      film(beam.stiffness, beam.stiffness, {beam.strength, Beam::fracture_energy}) +
      fmt::format("[plan]\nend = {:.17g}\n[[plan.increment]]\nplacing_time = 0.0\nlight = []\n[solver]\n"
                  "mode = \"debonding\"\nlargest_time_step = {:.17g}\n",
                  Beam::ramp, Beam::ramp / 48) +
      mesh(size, 0.5, 0.5) + hold("upper load", "z", pulled(beam.opening / 2)) +
      hold("lower load", "z", pulled(-beam.opening / 2)) + hold("x1"));
}

/// What the run went through, step by step.
struct Path {
  std::vector<double> opening, load, debonded, dissipated;  ///< [mm], [N], [mm2], [mJ]
  Path(const Beam& beam, const SolvedCase& solved) {
    for (const TableLine& line : solved.table("holds.csv")) {
      if (line.at("hold") != "1") continue;
      opening.push_back(beam.opening * std::min(number_in(line, "time_s") / Beam::ramp, 1.0));
      load.push_back(number_in(line, "force_z_N"));
    }
    for (const WallLine& line : solved.walls("all", "all"))
      debonded.push_back(line.numbers.contains("debonded_fraction")
                             ? line.numbers.at("debonded_fraction") * line.numbers.at("area_mm2")
                             : 0.0);
    for (const TableLine& line : solved.table("energies.csv"))
      dissipated.push_back(number_in(line, "fracture_mJ") + number_in(line, "viscous_mJ"));
  }
  /// Load over that of theory at the same opening while the crack runs: mean of all steps, and the last one.
  [[nodiscard]] std::pair<double, double> over_theory(const Beam& beam) const {
    double sum = 0, last = 0;
    int count = 0;
    for (std::size_t i = 0; i < opening.size(); ++i) {
      if (opening[i] < beam.opening_at(Beam::crack + 0.5)) continue;
      last = load[i] / beam.running_load(opening[i]);
      sum += last;
      ++count;
    }
    return {sum / count, last};
  }
  /// Slope of dissipated energy over debonded area from the first millimetre of crack on [N/mm].
  [[nodiscard]] double energy_per_area() const {
    double n = 0, x = 0, y = 0, xx = 0, xy = 0;
    for (std::size_t i = 0; i < debonded.size(); ++i) {
      if (debonded[i] < Beam::width) continue;
      ++n;
      x += debonded[i];
      y += dissipated[i];
      xx += debonded[i] * debonded[i];
      xy += debonded[i] * dissipated[i];
    }
    return (n * xy - x * y) / (n * xx - x * x);
  }
};

/// Up to the load at which the crack runs, and along its running.
Series theory(const Beam& beam) {
  Series line{"beam on foundation", Series::Style::line, {0}, {0}};
  for (double a = Beam::crack; beam.opening_at(a) < beam.opening; a += 0.1) {
    line.x.push_back(beam.opening_at(a));
    line.y.push_back(beam.load(a));
  }
  return line;
}

}  // namespace

TEST_CASE("a double cantilever beam lets go as beam theory says, at the price of Gc", "[verification]") {
  const Beam beam = GENERATE(Beam{240'000, 30, 0.8}, Beam{1'000, 9, 0.88});
  const SolvedCase solved = solve(beam, 0.2);
  const Path path(beam, solved);
  const double largest = *std::max_element(path.load.begin(), path.load.end()),
               before = path.load.at(4) / path.opening.at(4), b = Beam::width;
  verify(
      {.chapter = "Closed solutions: double cantilever beam",
       .title = fmt::format("Film of {:g} MPa/mm, strength {:g} MPa", beam.stiffness, beam.strength),
       .source = "Kanninen 1973 Int J Fract 9:83 (from memory); film in series and shear of the arms derived",
       .formula = "C(a) = 8/(E b h3) [a3 + 3 a2/l + 3 a/l2 + 1.5/l3] + 2.4 a/(G b h), l4 = 6 K/(E h3), "
                  "1/K = 1/Kn + h/E; P = sqrt(2 b Gc/C'(a)), opening P C(a)",
       .mesh = solved.mesh_text(),
       .tolerance_because =
           "theory has a sharp front; here strength is lost over a millimetre, which rounds the peak",
       .comparisons = {within_share("load over opening before it lets go, per mm width", "N/mm2",
                                    1 / beam.compliance(Beam::crack) / b, before / b, 0.02),
                       within_share("largest load, per mm width", "N/mm", beam.load(Beam::crack) / b,
                                    largest / b, 0.03),
                       within_share("load of the running crack over theory, mean of all steps", "-", 1,
                                    path.over_theory(beam).first, 0.02),
                       within_share("dissipated energy over new crack area", "N/mm", Beam::fracture_energy,
                                    path.energy_per_area(), 0.02)},
       .curves = {{.x_label = "opening (mm)",
                   .y_label = "load (N)",
                   .series = {theory(beam), {"computed", Series::Style::points, path.opening, path.load}}}},
       .verdict = fmt::format(
           "Arms clamped at the front of the crack (0.6455 N/mm at 0.5164 mm) are too stiff by "
           "{:.0f} %: film and arms give there. The load of the running crack ends {:+.1f} % off theory; "
           "its slow drift along the path is not explained.",
           100 * (beam.compliance(Beam::crack) / (1000 * Beam::bending) - 1),
           100 * (path.over_theory(beam).second - 1))});
}

}  // namespace double_cantilever
