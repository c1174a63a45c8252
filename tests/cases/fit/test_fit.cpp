// Constants found again from made-up data, and what is told where data do not hold them.
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <random>

#include "cases/fit/fit_report.hpp"
#include "cases/fit/predicted.hpp"
#include "cases/library/material_library.hpp"
#include "cases/reader/data_folder.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

Composite paste() {
  return MaterialLibrary::load(material_library_file()).composite("conventional-paste").values;
}

MeasuredCurve conversion_curve() {
  MeasuredCurve curve{
      .kind = CurveKind::conversion, .name = "made-up.csv", .irradiance = 1000, .lit = 20, .data = {}};
  for (const double depth : {0.0, 2.0})
    for (const double t : {1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 20.0, 40.0, 120.0})
      curve.data.push_back({t, depth, 0});
  return curve;
}

/// Rate, limit and attenuation from conversion that scatters by `scatter`, around the values of the class.
Measurements made_up(unsigned seed, double scatter) {
  Measurements made;
  made.name = made.title = "made-up";
  made.base = "conventional-paste";
  made.start.composite = paste();
  MeasuredCurve curve = conversion_curve();
  const std::vector<double> law = predicted(made.start, curve);
  std::mt19937 random(seed);
  std::normal_distribution<double> normal(0, scatter);
  for (std::size_t i = 0; i < law.size(); ++i) curve.data[i].value = law[i] + normal(random);
  made.curves = {curve};
  made.constants = {{"cure.rate", "1/s", 0.6, 0.1, 1.5,
                     [](FittedMaterial& m) -> double& { return m.composite.cure.rate; }, ""},
                    {"cure.limiting_conversion", "-", 0.5, 0.3, 0.9,
                     [](FittedMaterial& m) -> double& { return m.composite.cure.limiting_conversion; }, ""},
                    {"light.attenuation", "1/mm", 0.7, 0.3, 1.6,
                     [](FittedMaterial& m) -> double& { return m.composite.light.attenuation; }, ""}};
  return made;
}

const char* const curve_text =
    "name = \"x\"\nfrom = \"conventional-paste\"\n[[curve]]\nkind = \"conversion\"\nfile = "
    "\"a.csv\"\nirradiance = "
    "1000\nduration = 20\n[[constant]]\nkey = \"cure.rate\"\nlow = 0.1\nhigh = 1.0\n";

/// What the reader says of a table.
std::string said(const std::string& table, const std::string& text = curve_text) {
  const ScratchFolder scratch;
  std::ofstream(scratch.path() / "a.csv") << table;
  std::ofstream(scratch.path() / "m.toml") << text;
  try {
    static_cast<void>(fit(read_measurements(scratch.path() / "m.toml")));
  } catch (const CaseError& error) {
    return error.what();
  }
  return "nothing was refused";
}

}  // namespace

TEST_CASE("known constants are found again within their 95 % intervals in 95 % of repeats",
          "[verification][fit]") {
  constexpr unsigned repeats = 50;
  unsigned held[3] = {0, 0, 0};
  const Composite truth = paste();
  const double known[3] = {truth.cure.rate, truth.cure.limiting_conversion, truth.light.attenuation};
  for (unsigned seed = 1; seed <= repeats; ++seed) {
    const Fit found = fit(made_up(seed, 0.01));
    for (std::size_t c = 0; c < 3; ++c)
      if (std::abs(found.constants[c].value - known[c]) <= found.constants[c].half_width) ++held[c];
  }
  // Of 50 repeats that hold with 0.95 each, 43 or more hold in 99.7 % of tries (binomial); the seeds are
  // fixed.
  for (const unsigned count : held) CHECK(count >= 43);
}

TEST_CASE("data without scatter give their constants", "[fit]") {
  Measurements made = made_up(1, 0);
  made.loss = Loss::squares;
  const Fit found = fit(made);
  CHECK(found.constants[0].value == Approx(made_up(1, 0).start.composite.cure.rate).epsilon(1e-4));
  CHECK(found.constants[2].value == Approx(paste().light.attenuation).epsilon(1e-4));
}

TEST_CASE("a few wild data pull Huber's loss less than squares", "[fit]") {
  Measurements robust = made_up(3, 0.005);
  for (const std::size_t wild : {4U, 12U}) robust.curves[0].data[wild].value += 0.2;
  Measurements plain = robust;
  plain.loss = Loss::squares;
  const double truth = paste().cure.limiting_conversion;
  CHECK(std::abs(fit(robust).constants[1].value - truth) < std::abs(fit(plain).constants[1].value - truth));
}

TEST_CASE("constants that only act as a product are said to be open", "[fit]") {
  Measurements made = made_up(2, 0.01);
  // Reference irradiance to the power of -1/2 times the rate is all that a conversion shows.
  made.constants.push_back(
      {"cure.reference_irradiance", "mW/cm2", 1000, 500, 2000,
       [](FittedMaterial& m) -> double& { return m.composite.cure.reference_irradiance; }, ""});
  const Fit found = fit(made);
  CHECK_THAT(found.constants[0].warning, Contains("leave it open") || Contains("bound"));
  CHECK_THAT(found.constants[3].warning, Contains("leave it open") || Contains("bound"));
  CHECK(found.constants[1].warning.empty());
  CHECK_THAT(fit_text(made, found), Contains("Warning: cure.r"));
}

TEST_CASE("the material file is one of the library's own", "[fit]") {
  const Measurements made = made_up(5, 0.01);
  const Fit found = fit(made);
  const ScratchFolder scratch;
  std::ofstream(scratch.path() / "material.toml") << material_file(made, found);
  MaterialLibrary library = MaterialLibrary::load(material_library_file());
  library.add(scratch.path() / "material.toml");
  CHECK(library.composite("made-up").values.cure.rate == Approx(found.constants[0].value).epsilon(1e-8));
  CHECK_THAT(fit_page(made, found), Contains("<svg") && Contains("not a medical device"));
}

// Hooke's law: with all stiffness there from the beginning the bar and the frame are springs in line.
TEST_CASE("a bar in a frame reads springs in line", "[verification][fit]") {
  Composite composite = paste();
  composite.stiffness.exponent = 0;
  composite.stiffness.gel_point = 0;
  MeasuredCurve curve{.kind = CurveKind::stress,
                      .name = "",
                      .irradiance = 1000,
                      .lit = 1e4,
                      .height = 4,
                      .area = 2,
                      .frame = GENERATE(300.0, 3e4),
                      .data = {{1e4, 0, 0}}};
  const double shrinkage = composite.volumetric_shrinkage / 3, young = composite.stiffness.final_modulus;
  const double series = shrinkage * 4 / (4 / young + 2 / curve.frame);
  CHECK(predicted(composite, curve).front() == Approx(series).epsilon(1e-3));  // conversion ends just below 1
}

TEST_CASE("tables at fault are refused with row and column", "[fit]") {
  CHECK_THAT(said("time,conversion [%]\n1,2\n"), Contains("a.csv:1, column 1") && Contains("has no unit"));
  CHECK_THAT(said("time [s],conversion [%]\n1,2\n5,x\n"), Contains("a.csv:3") && Contains("\"x\""));
  CHECK_THAT(said("time [s],conversion [%]\n1,2\n5,3\n4,3\n"),
             Contains("a.csv:4, column \"time [s]\": is 4; is less than in row 3"));
  CHECK_THAT(said("time [s],conversion [%]\n1,2\n5,3\n"), Contains("holds 2 values"));
  CHECK_THAT(said("time [s],conversion [kg]\n1,2\n"), Contains("column 2") && Contains("conversion [%]"));
  CHECK_THAT(said("time [s],conversion [%]\n1\n"), Contains("a.csv:2: has 1 columns"));
  // Rows of the file, comments and empty ones too; numbers and units as they stand there.
  CHECK_THAT(said("# bench 2\ntime [min],conversion [%]\n\n1,2\n5,3\n4.5,3\n"),
             Contains("a.csv:6, column \"time [min]\": is 4.5; is less than in row 5"));
  CHECK_THAT(said("time [s],conversion [%]\n-1,2\n5,3\n6,3\n"),
             Contains("a.csv:2, column \"time [s]\": is -1; must be 0 or more"));
  CHECK_THAT(said("depth [um],time [s],conversion [%]\n1,1,2\n-500,5,3\n5,6,3\n"),
             Contains("a.csv:3, column \"depth [um]\": is -500; must be 0 or more"));
  CHECK_THAT(said("time [s],conversion [-]\n1,2\n5,30\n6,40\n"),
             Contains("a.csv:2, column \"conversion [-]\": is 2; is more than all"));
}

TEST_CASE("what cannot rest on the data is refused", "[fit]") {
  std::string text = curve_text;
  const std::string table = "time [s],conversion [%]\n1,12\n5,30\n9,40\n20,60\n";
  text.replace(text.find("cure.rate"), 9, "light.attenuation");
  text += "start = 0.9\n";
  CHECK_THAT(said(table, text), Contains("on which no curve here depends"));
  std::string frame = curve_text;
  frame.replace(frame.find("conversion\""), 11, "stress\"\nheight = 4\narea = 1\nframe_stiffness = 0");
  CHECK_THAT(said("time [s],stress [MPa]\n1,2\n2,3\n4,4\n", frame),
             Contains("frame_stiffness") && Contains("is 0"));
}

TEST_CASE("a constant sought twice, and bounds that cross, are refused", "[fit]") {
  const std::string table = "time [s],conversion [%]\n1,12\n5,30\n9,40\n20,60\n";
  CHECK_THAT(said(table, std::string(curve_text) + "[[constant]]\nkey = \"cure.rate\"\n"),
             Contains("key is \"cure.rate\" twice"));
  std::string crossed = curve_text;
  crossed.replace(crossed.find("low = 0.1"), 9, "low = 2.0");
  CHECK_THAT(said(table, crossed), Contains("high is 1 [1/s]; must be above low, 2"));
  CHECK_THAT(said("time [s];conversion [%]\n1;12\n"), Contains("columns must be parted by commas"));
}

TEST_CASE("values of one class that do not go together are refused", "[fit]") {
  const std::string table = "time [s],conversion [%]\n1,12\n5,30\n9,40\n20,60\n";
  const auto also = [](const std::string& key, double start) {
    return std::string(curve_text) + "[[constant]]\nkey = \"" + key +
           "\"\nlow = 0.001\nstart = " + std::to_string(start) + "\n";
  };
  CHECK_THAT(said(table, also("cure.late_gain", 0.1)),
             Contains("m.toml") && Contains("cure.late_time [s] is missing"));
  CHECK_THAT(said(table, also("cure.late_time", 3600)),
             Contains("cure.late_time changes nothing here: cure.late_gain is not given"));
  CHECK_THAT(said(table, also("stiffness.early_modulus", 5000)),
             Contains("stiffness.rise_time [s] is missing"));
}

TEST_CASE("constants found that no class may have are refused", "[fit]") {
  // A modulus that falls in the hours after the light: early_modulus wants to be above the class's own 12
  // GPa.
  const std::string text =
      "name = \"x\"\nfrom = \"conventional-paste\"\n[[curve]]\nkind = \"modulus\"\nfile = \"a.csv\"\n"
      "irradiance = 1000\nduration = 60\n[[constant]]\nkey = \"stiffness.early_modulus\"\nstart = 8000\n"
      "low = 1000\nhigh = 20000\n[[constant]]\nkey = \"stiffness.rise_time\"\nstart = 7200\n"
      "low = 600\nhigh = 80000\n";
  CHECK_THAT(said("time [h],modulus [GPa]\n0.1,15\n0.5,14.7\n1,14.4\n2,13.9\n5,12.9\n24,12\n", text),
             Contains("m.toml") && Contains("early_modulus is 1") && Contains("must not be above") &&
                 Contains("so the data ask for"));
}

TEST_CASE("a fit tells how far it is, and ends when it is asked to", "[fit]") {
  const Measurements made = made_up(1, 0.01);
  double last = 0;
  int told = 0;
  static_cast<void>(fit(made, [&](double share, int tried) {
    CHECK((share >= last && share < 1));
    CHECK(tried == told++);
    last = share;
    return true;
  }));
  CHECK(last == 0.75);  // in the last of four searches
  int asked = 0;
  CHECK_THROWS_AS(fit(made, [&](double, int) { return ++asked < 30; }), FitStopped);
  CHECK(asked == 30);
}
