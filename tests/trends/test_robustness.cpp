// How far the answer depends on what the user does not think about: mesh, steps, regularisation, film.

#include <fmt/format.h>
#include <catch2/catch.hpp>

#include <algorithm>

#include "tests/check_record.hpp"
#include "tests/trends/trend_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace {

constexpr double allowed = 0.05;  // over a factor of four

/// Numbers of the whole bond that may be judged by, at the end of a run.
struct Answer {
  double traction, shear, mean_ratio, p95_ratio, above_one, debonded, fracture, cusps;
  std::string mesh;
};

struct Output {
  const char* name;
  const char* unit;
  double Answer::*in;
};
constexpr Output traction{"mean normal traction", "MPa", &Answer::traction};
constexpr Output shear{"mean shear traction", "MPa", &Answer::shear};
constexpr Output mean_ratio{"mean stress-to-strength ratio", "-", &Answer::mean_ratio};
constexpr Output p95_ratio{"95th percentile of the ratio", "-", &Answer::p95_ratio};
constexpr Output above_one{"share of the area at its strength or debonded", "-", &Answer::above_one};
constexpr Output debonded{"debonded share of the area", "-", &Answer::debonded};
constexpr Output fracture{"energy of debonding", "mJ", &Answer::fracture};
constexpr Output cusps{"cusp deflection", "um", &Answer::cusps};

Answer answer(const std::string& over) {
  const SolvedCase solved(on_top_of("robust-slot.toml", over));
  return {.traction = at_end(solved, "all", "normal_traction_mean_MPa"),
          .shear = at_end(solved, "all", "shear_traction_mean_MPa"),
          .mean_ratio = at_end(solved, "all", "stress_to_strength_mean"),
          .p95_ratio = at_end(solved, "all", "stress_to_strength_p95"),
          .above_one = at_end(solved, "all", "area_fraction_above_1"),
          .debonded = at_end(solved, "all", "debonded_fraction"),
          .fracture = solved.summary().at("energies_at_end").at("fracture_mJ").get<double>(),
          .cusps = deflection(solved),
          .mesh = solved.mesh_text()};
}

/// One setting varied over a factor of four about its middle value.
struct Knob {
  std::string title;
  std::array<std::string, 3> settings;  ///< for people
  std::array<std::string, 3> over;      ///< as in a case file; the middle one is what others are held against
};

/// Solves at the three settings and holds the outputs `steady` of the outer two, and those `later` of the
/// last, against the middle one; the verdict shows the three values of `others` and says `why` they differ.
void turn(const Knob& knob, const std::vector<Output>& steady, const std::vector<Output>& later,
          const std::vector<Output>& others, const std::string& why) {
  const std::array answers{answer(knob.over[0]), answer(knob.over[1]), answer(knob.over[2])};
  Check check{.chapter = "Robustness of the answer",
              .title = knob.title,
              .source = "derived: what a discretisation or a numerical aid adds must not decide the answer",
              .formula = fmt::format("outputs by area stay within 5 % at {}, {} and {}", knob.settings[0],
                                     knob.settings[1], knob.settings[2]),
              .mesh = answers[1].mesh,
              .tolerance_because = "5 % is below the scatter of every published property used",
              .comparisons = {}};
  const auto hold = [&](const Output& output, std::size_t i) {
    check.comparisons.push_back(
        within_share(fmt::format("{}, {} against {}", output.name, knob.settings[i], knob.settings[1]),
                     output.unit, answers[1].*output.in, answers[i].*output.in, allowed));
  };
  for (const Output& output : steady) {
    hold(output, 0);
    hold(output, 2);
  }
  for (const Output& output : later) hold(output, 2);
  for (const Output& output : others)
    check.verdict +=
        fmt::format("Not steady: {}, {:.3g}, {:.3g}, {:.3g} {}. ", output.name, answers[0].*output.in,
                    answers[1].*output.in, answers[2].*output.in, output.unit);
  check.verdict += why;
  verify(check);
}

std::string mesh(double size) {
  return fmt::format("[mesh]\nfineness = {}\n", size);
}
std::string coarse(const std::string& more) {
  return mesh(0.6) + more;
}
std::string letting_go(const std::string& filling, const std::string& more) {
  return coarse(
      fmt::format("[materials]\nfilling = \"{}\"\n[solver]\nmode = \"debonding\"\n{}", filling, more));
}

/// Viscous time and step size while the bond under `filling` lets go.
void turn_debonding_knobs(const std::string& filling, const std::string& extent,
                          const std::vector<Output>& steady) {
  turn({.title = fmt::format("Viscous time, {}", extent),
        .settings = {"0.1 s", "0.05 s", "0.025 s"},
        .over = {letting_go(filling, "viscous_time = 0.1\n"), letting_go(filling, ""),
                 letting_go(filling, "viscous_time = 0.025\n")}},
       steady, {}, {}, "");
  turn({.title = fmt::format("Size of the softening steps, {}", extent),
        .settings = {"softening steps of 0.5", "0.25", "0.125"},
        .over = {letting_go(filling, "largest_softening_step = 0.5\n"), letting_go(filling, ""),
                 letting_go(filling, "largest_softening_step = 0.125\n")}},
       steady, {}, {}, "");
}

}  // namespace

TEST_CASE("means over the bond do not depend on the size of the steps", "[trends]") {
  turn({.title = "Size of the steps, bond intact",
        .settings = {"conversion steps of 0.16", "0.08", "0.04"},
        .over = {coarse("[solver]\nlargest_conversion_step = 0.16\n"), coarse(""),
                 coarse("[solver]\nlargest_conversion_step = 0.04\n")}},
       {traction, shear, mean_ratio, p95_ratio, cusps}, {}, {}, "");
}

TEST_CASE("means over the bond hardly depend on the film", "[trends]") {
  turn({.title = "Stiffness of the film, bond intact",
        .settings = {"film of 60 um", "30 um", "15 um"},
        .over = {coarse("[bond]\nfilm_thickness = 0.06\n"), coarse(""),
                 coarse("[bond]\nfilm_thickness = 0.015\n")}},
       {traction, shear, mean_ratio, cusps}, {}, {p95_ratio, above_one},
       "The film is physics, not numerics: a stiffer one lets the stress crowd at line angles and margins, "
       "where "
       "the highest twentieth of the area lies.");
}

TEST_CASE("a bond that softens does not depend on viscous time or steps", "[trends]") {
  turn_debonding_knobs("conventional-paste", "a bond that softens in part",
                       {traction, shear, mean_ratio, above_one, fracture, cusps});
}

TEST_CASE("a bond that is lost does not depend on viscous time or steps", "[.][long][trends]") {
  turn_debonding_knobs("flowable", "a bond that is lost in most places",
                       {mean_ratio, above_one, debonded, fracture});
}

TEST_CASE("means over the bond settle with the mesh", "[.][long][trends]") {
  turn({.title = "Size of the elements, bond intact",
        .settings = {"0.6 mm", "0.3 mm", "0.15 mm along the bond"},
        .over = {mesh(0.6), mesh(0.3), mesh(0.15)}},
       {traction, shear, mean_ratio, cusps}, {p95_ratio}, {p95_ratio, above_one},
       "Percentiles and fractions are judged by values averaged over 0.3 mm, which elements of 0.6 mm do not "
       "resolve: use elements of 0.3 mm or less for them. Line angles here are rounded to 0.3 mm.");
}

TEST_CASE("peaks at sharp line angles grow with every refinement, means do not", "[trends]") {
  std::vector<double> sizes{0.8, 0.4, 0.2}, peaks, means;
  std::string finest;
  for (const double size : sizes) {
    const SolvedCase solved(on_top_of("constant-volume-box.toml", mesh(size) + "tied_bond = true\n"));
    double peak = 0;
    for (const char* wall : {"floor", "buccal", "lingual", "mesial", "distal"})
      peak = std::max(peak, stress_at_wall(solved, wall, Side::filling).peak);
    peaks.push_back(peak);
    means.push_back(stress_at_wall(solved, "floor", Side::filling).mean);
    finest = solved.mesh_text();
  }
  verify(
      {.chapter = "Robustness of the answer",
       .title = "Peaks at sharp line angles diverge",
       .source =
           "derived: the linear stress at a bonded re-entrant edge is unbounded (Williams 1952, J Appl Mech "
           "19:526, from memory)",
       .formula =
           "as elements shrink, the largest first principal stress of an element grows without limit; the "
           "mean at the floor settles",
       .mesh = "0.8, 0.4 and 0.2 mm along the bond; the finest: " + finest,
       .tolerance_because = "growth of any size shows that there is no number to report; means within 5 %",
       .comparisons = {at_least("peak at 0.4 mm over that at 0.8 mm", "-", 1.02, peaks[1] / peaks[0]),
                       at_least("peak at 0.2 mm over that at 0.4 mm", "-", 1.02, peaks[2] / peaks[1]),
                       within_share("mean first principal stress at the floor, 0.8 against 0.4 mm", "MPa",
                                    means[1], means[0], allowed),
                       within_share("the same, 0.2 against 0.4 mm", "MPa", means[1], means[2], allowed)},
       .curves = {{"element size [mm]",
                   "stress [MPa]",
                   {{"peak first principal stress", Series::Style::points, sizes, peaks},
                    {"mean first principal stress, floor", Series::Style::points, sizes, means}},
                   true,
                   false}},
       .verdict =
           "Peaks are nowhere used for judgement: reports give means, percentiles and shares of the area of "
           "values averaged over 0.3 mm."});
}
