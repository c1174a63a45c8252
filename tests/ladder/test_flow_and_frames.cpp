// Flow and yielding frames: bars and thin discs as instruments hold them, against closed solutions and the
// equation of the bar solved here.
#include <catch2/catch.hpp>

#include <cmath>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/solved_case.hpp"

using namespace setstress::testing;

namespace flow_and_frames {
namespace {

const std::string chapter = "Closed solutions: flow and frames";
constexpr double modulus = 10'000, shrinkage = 0.002, rigid = 1e9;  // [MPa], [-], [MPa]
constexpr double cure_time = 15;                                    // conversion 1 - exp(-t/15 s)

std::string replaced(std::string text, const std::string& what, const std::string& by) {
  return text.replace(text.find(what), what.size(), by);
}

/// Composite whose modulus is E x^exponent at conversion x; `flow` holds keys of its flow law.
std::string setting_materials(double exponent, const std::string& flow) {
  std::string text = materials({.composite_modulus = modulus, .fixture_modulus = rigid});
  text = replaced(text, "\nexponent = 0.0", fmt::format("\nexponent = {}\nfloor = 1e-8", exponent));
  text = replaced(text, "\nrate = 0.5", fmt::format("\nrate = {:.17g}", 1 / cure_time));
  if (!flow.empty()) text += "[materials.override.conventional-paste.flow]\n" + flow;
  return text;
}

const std::string lit_for_ten_minutes = R"(
[plan]
end = 0.01
[[plan.increment]]
placing_time = 0.0
[[plan.increment.light]]
irradiance = 1000.0
duration = 599.99
delay = 0.0
)";

/// Stress [MPa] that the frame reads of a bar 1 x 1 x 2 mm with free sides; `frame` in N/um, 0: it does not
/// yield.
SolvedCase bar(double exponent, double frame, const std::string& flow = "") {
  return SolvedCase("[specimen]\nkind = \"butt-joint\"\nheight = 2.0\nadherend_height = 0.5\n" +
                    setting_materials(exponent, flow) + film(1e9, slippery) + lit_for_ten_minutes +
                    mesh(0.7, 0.7, 0.7) +
                    "\n[solver]\nequilibrium_tolerance = 1e-8\nlargest_time_step = 10.0\n" + hold("bottom") +
                    (frame > 0 ? fmt::format("\n[frame]\nstiffness = {:.17g}\n", frame) : hold("top")));
}

double stress_of(const SolvedCase& solved, const char* when = "end") {
  return solved.summary().at("frame").at(when).at("stress_MPa").get<double>();
}

/// Frame of which the bar's own full stiffness is `ratio` times: E A/h over its stiffness [N/um].
double frame_of(double ratio) {
  return 1e-3 * modulus / (2.0 * ratio);
}

/// Stress over E times shrinkage of the bar: s'/x^n + ratio s' + s/(x^n tau) = x', by Runge and Kutta's
/// fourth-order method; x^n >= 1e-8 as in the case.
struct Reading {
  double end, peak;
};
Reading by_equation(double exponent, double ratio, double relaxation) {
  const auto rate = [&](double t, double s) {
    const double stiff = std::max(std::pow(-std::expm1(-t / cure_time), exponent), 1e-8);
    return (std::exp(-t / cure_time) / cure_time * stiff - s / relaxation) / (1 + ratio * stiff);
  };
  constexpr int steps = 120'000;
  const double h = 600.0 / steps;
  Reading reading{0, 0};
  double s = 0;
  for (int i = 0; i < steps; ++i) {
    const double t = i * h, k1 = rate(t, s), k2 = rate(t + h / 2, s + h / 2 * k1),
                 k3 = rate(t + h / 2, s + h / 2 * k2), k4 = rate(t + h, s + h * k3);
    s += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
    reading.peak = std::max(reading.peak, s);
  }
  reading.end = s;
  return reading;
}

std::string maxwell(double relaxation) {
  return fmt::format("share = 1.0\nvolume = 1.0\ntime_soft = {0}\ntime_set = {0}\n", relaxation);
}

}  // namespace

TEST_CASE("a bar that stiffens in a yielding frame reads the closed form", "[verification]") {
  const auto linear = [](double k) { return 1 / k - std::log1p(k) / (k * k); };
  const auto square = [](double k) { return 1 / k - std::atan(std::sqrt(k)) / std::pow(k, 1.5); };
  Check check{.chapter = chapter,
              .title = "A bar that stiffens in a yielding frame",
              .source = "derived (integral of x^n/(1 + k x^n)); form: Fok 2013, Dent Mater 29:1108",
              .formula =
                  "s/(E e) = 1/k - ln(1+k)/k2 for n = 1, 1/k - arctan(sqrt k)/k^1.5 for n = 2; k is E A/h "
                  "over the stiffness of the frame",
              .mesh = "0.7 mm",
              .tolerance_because = "steps of 0.04 in conversion, of the second order",
              .comparisons = {}};
  for (const double k : {0.1, 1.0, 10.0}) {
    check.comparisons.push_back(within_share(fmt::format("n 1, k {}", k), "MPa",
                                             modulus * shrinkage * linear(k), stress_of(bar(1, frame_of(k))),
                                             0.005));
    check.comparisons.push_back(within_share(fmt::format("n 2, k {}", k), "MPa",
                                             modulus * shrinkage * square(k), stress_of(bar(2, frame_of(k))),
                                             0.005));
  }
  verify(check);
}

TEST_CASE("a bar that stiffens and flows follows Maxwell's equation", "[verification]") {
  Check check{.chapter = chapter,
              .title = "A bar that stiffens and flows, after ten minutes",
              .source = "the ordinary differential equation of the bar, solved in the test",
              .formula =
                  "s'(1/E(x) + C A/h) + s/(E(x) tau) = e x', x = 1 - exp(-t/15 s), E(x) = E x; all "
                  "stress relaxes",
              .mesh = "0.7 mm",
              .tolerance_because = "steps of 0.04 in conversion and of 10 s, of the second order",
              .comparisons = {}};
  const double unit = modulus * shrinkage;
  double largest_error = 0;
  for (const auto& [k, relaxation] : {std::pair{0.0, 1e4}, std::pair{0.0, 1e3}, std::pair{0.0, 300.0},
                                      std::pair{0.0, 60.0}, std::pair{1.0, 1e3}, std::pair{10.0, 300.0}}) {
    const SolvedCase solved = bar(1, k > 0 ? frame_of(k) : 0, maxwell(relaxation));
    const Reading expected = by_equation(1, k, relaxation);
    const std::string what = fmt::format("k {}, tau {} s", k, relaxation);
    check.comparisons.push_back(
        within(what + ", end", "MPa", unit * expected.end, stress_of(solved), 0.005 * unit));
    check.comparisons.push_back(
        within(what + ", highest", "MPa", unit * expected.peak, stress_of(solved, "largest"), 0.005 * unit));
    const auto& energies = solved.summary().at("energies_at_end");
    largest_error = std::max(largest_error, energies.at("largest_relative_error").get<double>());
    CHECK(energies.at("flow_mJ").get<double>() > 0);
  }
  check.comparisons.push_back(within("energy out of balance, largest share", "-", 0, largest_error, 1e-6));
  verify(check);
}

TEST_CASE("a thin bonded disc shrinks along its axis for all its volume", "[verification]") {
  Check check{.chapter = chapter,
              .title = "Axial shrinkage of a thin bonded disc, and its stress in a frame that does not yield",
              .source = "derived (Hooke's law)",
              .formula =
                  "axial shrinkage e (1 + nu)/(1 - nu); rigid: E e/(1 - 2 nu), a limit that the rim "
                  "keeps the mean below",
              .mesh = "d 5 mm, h 0.25 mm, 0.17 mm",
              .tolerance_because = "the rim, about a height wide, is free to contract",
              .comparisons = {}};
  for (const double poisson : {0.3, 0.4}) {
    const std::string disc =
        "[specimen]\nkind = \"disc-between-plates\"\ndiameter = 5.0\nheight = 0.25\nplate_thickness = 0.5\n" +
        materials({.composite_modulus = modulus, .composite_poisson = poisson, .fixture_modulus = rigid}) +
        film(1e8, 1e8) + lit_at_once + mesh(0.17, 0.17, 0.5) + linear_solver + hold("bottom");
    const SolvedCase free(disc + hold("top", "xy")), held(disc + hold("top"));
    const double limit = modulus * shrinkage / (1 - 2 * poisson);
    check.comparisons.push_back(within_share(
        fmt::format("axial shrinkage, nu {}", poisson), "-", shrinkage * (1 + poisson) / (1 - poisson),
        free.summary().at("frame").at("end").at("axial_shrinkage").get<double>(), 0.05));
    check.comparisons.push_back(
        at_most(fmt::format("mean stress, rigid, nu {}", poisson), "MPa", limit, stress_of(held)));
    check.comparisons.push_back(at_least(fmt::format("mean stress over 0.85 of the limit, nu {}", poisson),
                                         "MPa", 0.85 * limit, stress_of(held)));
  }
  verify(check);
}

TEST_CASE("paste that keeps its volume sinks at its free surface", "[verification]") {
  // A mould so stiff that nothing but the free surface can give: what the filling loses, the surface shows,
  // but for what tension opens inside, which at nu 0.3 is much and at 0.49 little.
  const auto sunk = [](double poisson) {
    const SolvedCase solved(
        "[specimen]\nkind = \"flexing-mould\"\nslot_width = 2.0\nslot_length = 2.0\nslot_depth = 2.0\n"
        "wall_thickness = 2.0\nbase_thickness = 2.0\n" +
        materials({.composite_modulus = modulus, .composite_poisson = poisson, .fixture_modulus = rigid}) +
        film(1e8, 1e8) + lit_at_once + mesh(0.4, 0.4, 2.0) + linear_solver + hold("bottom"));
    const auto& end = solved.summary().at("surface_sink").at("end");
    CHECK(end.at("middle_um").get<double>() > end.at("mean_um").get<double>());
    return end.at("volume_mm3").get<double>() / (3 * shrinkage * 8.0);
  };
  const double compressible = sunk(0.3), liquid = sunk(0.49);
  verify(
      {.chapter = chapter,
       .title = "Paste that keeps its volume sinks at its free surface",
       .source = "derived (no volume is lost at nu 0.5; for the rest a bound)",
       .formula = "volume sunk at the free surfaces over volume lost: 1 at nu 0.5",
       .mesh = "0.4 mm",
       .tolerance_because = "at 0.49 bulk over shear modulus is 50: some of the loss stays inside as tension",
       .comparisons = {at_most("share at nu 0.3", "-", liquid, compressible),
                       at_least("share at nu 0.49", "-", 0.85, liquid),
                       at_most("share at nu 0.49", "-", 1.0, liquid)}});
}

}  // namespace flow_and_frames
