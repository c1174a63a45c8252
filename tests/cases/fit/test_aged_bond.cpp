// Strength of a bond over age and area: constants of the maturity law and of the weakest link found again
// from made-up measurements (no source needed), and what is refused.

#include <catch2/catch.hpp>
#include <fstream>
#include <random>

#include "cases/fit/fit_report.hpp"
#include "cases/fit/predicted.hpp"
#include "cases/library/material_library.hpp"
#include "cases/reader/case_error.hpp"
#include "cases/reader/data_folder.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace aged_bond {
namespace {

const char* const head =
    "name = \"x\"\nfrom = \"two-step-self-etch\"\nsubstrate = \"coronal-dentin\"\nlaw = "
    "\"ten-minute-pair\"\n[[curve]]\nkind = \"bond-strength\"\nfile = \"a.csv\"\n";

std::string sought(const std::string& key, const std::string& more = "") {
  return "[[constant]]\nkey = \"" + key + "\"\n" + more;
}
const std::string all_sought = sought("strength.tensile") + sought("strength.weibull_modulus") +
                               sought("strength_maturity.at_once") + sought("strength_maturity.ratio");

Measurements read(const std::string& table, const std::string& text) {
  const ScratchFolder scratch;
  std::ofstream(scratch.path() / "a.csv") << table;
  std::ofstream(scratch.path() / "m.toml") << text;
  return read_measurements(scratch.path() / "m.toml");
}

/// What is said of a file; its fit is not asked for unless `fitted`.
std::string said(const std::string& table, const std::string& text, bool fitted = false) {
  try {
    const Measurements measurements = read(table, text);
    if (fitted) static_cast<void>(fit(measurements));
  } catch (const CaseError& error) {
    return error.what();
  }
  return "nothing was refused";
}

/// Ages from at once to a day, two areas; values are put in later.
std::string places() {
  std::string table = "age [min],area [mm2],bond-strength [MPa]\n";
  for (const char* area : {"0.8", "3"})
    for (const char* age : {"0", "1", "3", "10", "30", "120", "1440"})
      table += std::string(age) + "," + area + ",20\n";
  return table;
}

constexpr double tensile = 30, weibull = 4, at_once = 0.45, ratio = 0.75;

/// Strengths of a bond with those constants that scatter by `scatter` of themselves.
Measurements made_up(unsigned seed, double scatter) {
  Measurements made = read(places(), head + all_sought);
  AgedBond truth = *made.start.bond;
  truth.values().tensile = tensile;
  truth.values().weibull_modulus = weibull;
  truth.at_once = at_once;
  truth.ratio = ratio;
  std::mt19937 random(seed);
  std::normal_distribution<double> normal(1, scatter);
  for (Datum& datum : made.curves[0].data) {
    const double law = truth.strength(datum.at, datum.area, false);
    datum.error = scatter * law;
    datum.value = law * normal(random);
  }
  return made;
}

}  // namespace

TEST_CASE("the strength of a bond ages and scatters as its laws say", "[verification][fit]") {
  AgedBond bond = *read(places(), head + all_sought).start.bond;
  bond.values() = {.tensile = 32,
                   .shear = 20,
                   .fracture_energy_opening = 0.04,
                   .fracture_energy_sliding = 0.04,
                   .weibull_modulus = 4,
                   .stick_area = 1};
  bond.ratio = 0.7;
  bond.at_once = 0.5;
  CHECK(bond.strength(86400, 1, false) == Approx(32));
  CHECK(bond.strength(600, 1, false) == Approx(0.7 * 32));
  CHECK(bond.strength(0, 1, true) == Approx(0.5 * 20));
  CHECK(bond.strength(86400, 16, false) == Approx(16));  // (1/16)^(1/4)
}

TEST_CASE("known constants of a bond are found again within their 95 % intervals in 95 % of repeats",
          "[verification][fit]") {
  constexpr unsigned repeats = 50;
  const double known[4] = {tensile, weibull, at_once, ratio};
  unsigned held[4] = {0, 0, 0, 0};
  for (unsigned seed = 1; seed <= repeats; ++seed) {
    const Fit found = fit(made_up(seed, 0.03));
    for (std::size_t c = 0; c < 4; ++c)
      if (std::abs(found.constants[c].value - known[c]) <= found.constants[c].half_width) ++held[c];
  }
  // Of 50 repeats that hold with 0.95 each, 43 or more hold in 99.7 % of tries (binomial); the seeds are
  // fixed.
  for (const unsigned count : held) CHECK(count >= 43);
}

TEST_CASE("the material file of a bond is one of the library's own", "[fit]") {
  const Measurements made = made_up(5, 0.03);
  const Fit found = fit(made);
  const ScratchFolder scratch;
  std::ofstream(scratch.path() / "material.toml") << material_file(made, found);
  MaterialLibrary library = MaterialLibrary::load(material_library_file());
  const Adhesive before = library.adhesive("two-step-self-etch").values;
  library.add(scratch.path() / "material.toml");
  const Adhesive& adhesive = library.adhesive("x").values;
  const BondStrength& coronal = adhesive.strength.at(Substrate::coronal_dentin);
  CHECK(coronal.tensile == Approx(found.constants[0].value).epsilon(1e-8));
  CHECK(coronal.weibull_modulus == Approx(found.constants[1].value).epsilon(1e-8));
  const MaturityLaw& law = adhesive.strength_maturity.at(Substrate::coronal_dentin);
  CHECK(law(0) == Approx(found.constants[2].value).epsilon(1e-8));
  CHECK(law(600) == Approx(found.constants[3].value).epsilon(1e-8));
  CHECK(adhesive.strength.at(Substrate::enamel) == before.strength.at(Substrate::enamel));
  CHECK_THAT(fit_page(made, found),
             Contains("<svg") && Contains("bond to coronal dentin") && Contains("10 min"));
}

TEST_CASE("one area says nothing of how strength falls with it", "[fit]") {
  Measurements made = made_up(3, 0.03);
  for (Datum& datum : made.curves[0].data) datum.area = 3;
  CHECK_THAT(fit_text(made, fit(made)),
             Contains("Warning: strength.weibull_modulus") && Contains("leave it open"));
}

TEST_CASE("tables of strengths at fault are refused with row and column", "[fit]") {
  const std::string text = head + sought("strength.tensile");
  CHECK_THAT(said("age,area [mm2],bond-strength [MPa]\n1,1,2\n", text),
             Contains("a.csv:1, column 1") && Contains("has no unit"));
  CHECK_THAT(said("age [min],area [mm2],bond-strength [MPa]\n1,1,20\n10,0,25\n60,1,28\n", text),
             Contains("a.csv:3, column \"area [mm2]\": is 0; must be above 0"));
  CHECK_THAT(said("age [min],area [mm2],bond-strength [MPa]\n1,1,20\n10,1,-3\n60,1,28\n", text),
             Contains("a.csv:3, column \"bond-strength [MPa]\": is -3; must be 0 or more"));
  CHECK_THAT(said("age [min],area [mm2],bond-strength [MPa]\n10,1,20\n1,1,15\n60,1,28\n", text),
             Contains("a.csv:3, column \"age [min]\": is 1; is less than in row 2"));
  CHECK_THAT(said("age [min],bond-strength [MPa]\n1,20\n10,22\n60,25\n", text),
             Contains("curve[1].area") && Contains("is missing"));
  CHECK_THAT(said("age [min],area [mm2],bond-strength [MPa]\n1,1,20\n10,1,22\n", text),
             Contains("holds 2 values"));
}

TEST_CASE("what cannot be of a bond is refused", "[fit]") {
  const std::string table = places();
  const auto with = [](std::string text, const std::string& before, const std::string& after) {
    return text.replace(text.find(before), before.size(), after);
  };
  const std::string text = head + all_sought;
  CHECK_THAT(said(table, with(text, "coronal-dentin", "dentine")),
             Contains("substrate") && Contains("coronal-dentin"));
  CHECK_THAT(said(table, with(text, "substrate = \"coronal-dentin\"\n", "")), Contains("substrate"));
  CHECK_THAT(said(table, with(text, "kind = \"bond-strength\"", "kind = \"modulus\"")),
             Contains("curve[1].kind") && Contains("bond-strength"));
  CHECK_THAT(said(table, with(text, "ten-minute-pair", "chairside-rule")),
             Contains("\"strength_maturity.ratio\", which the law \"chairside-rule\" does not have"));
  CHECK_THAT(said(table, std::string(head) + sought("cure.rate")), Contains("must be a value of a bond"));
  CHECK_THAT(said(table, std::string(head) + sought("strength.shear"), true),
             Contains("on which no curve here depends"));
  CHECK_THAT(said(table, std::string(head) + sought("strength_maturity.at_once", "high = 0.8\n") +
                             sought("strength_maturity.ratio", "low = 0.7\n")),
             Contains("constant[1].high is 0.8 [-]; must be above 0 and at most 0.7"));
  CHECK_THAT(said(table, with(text, "two-step-self-etch", "two-step")),
             Contains("from") && Contains("two-step-self-etch"));
}

TEST_CASE("strengths that the fracture energy of a class cannot bear are refused", "[fit]") {
  const std::string table =
      "age [h],area [mm2],bond-strength [MPa]\n24,1,400\n24,1,410\n48,1,405\n48,1,402\n";
  CHECK_THAT(said(table, head + sought("strength.tensile", "high = 1000\n"), true),
             Contains("fracture_energy_opening") && Contains("so the data ask for"));
}

}  // namespace aged_bond
