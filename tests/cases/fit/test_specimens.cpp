// Stress that a fit expects of a bar and of a bonded disc, against closed solutions; and data whose errors
// are published.
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>

#include "cases/fit/fit_report.hpp"
#include "cases/fit/predicted.hpp"
#include "cases/library/material_library.hpp"
#include "cases/reader/data_folder.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

constexpr double pi = 3.14159265358979, to_the_end = 1e4;  // [-], [s]
constexpr double yields = 1e-3, holds = 1e13;              // frames [N/mm]

Composite elastic_paste(double poisson) {
  Composite paste = MaterialLibrary::load(material_library_file()).composite("conventional-paste").values;
  paste.stiffness.exponent = paste.stiffness.gel_point = 0;
  paste.stiffness.poisson_ratio = poisson;
  return paste;
}

MeasuredCurve specimen(bool disc, double diameter, double height, double frame) {
  return {.kind = CurveKind::stress,
          .name = "",
          .irradiance = 1000,
          .lit = to_the_end,
          .disc = disc,
          .height = height,
          .area = pi / 4 * diameter * diameter,
          .frame = frame,
          .data = {{to_the_end, 0, 0}}};
}

double read(const Composite& paste, const MeasuredCurve& curve) {
  return predicted(paste, curve).front();
}

/// Shortening of a specimen that hardly anything holds, over its height [-].
double axial_shrinkage(const Composite& paste, double diameter, double height) {
  const MeasuredCurve soft = specimen(true, diameter, height, yields);
  return read(paste, soft) * soft.area / (yields * height);
}

Fit fitted(const ScratchFolder& scratch, const std::string& text) {
  std::ofstream(scratch.path() / "m.toml") << text;
  return fit(read_measurements(scratch.path() / "m.toml"));
}

}  // namespace

// Hooke's law: sideways held, a layer shrinks by (1 + nu)/(1 - nu) of its linear shrinkage along its axis,
// and bears E e/(1 - 2 nu) where it cannot; the rim takes a little of both.
TEST_CASE("a thin disc shrinks and pulls as a layer held on its sides", "[verification][fit]") {
  const double poisson = GENERATE(0.3, 0.4);
  const Composite paste = elastic_paste(poisson);
  const double shrinkage = paste.volumetric_shrinkage / 3, limit = (1 + poisson) / (1 - poisson);
  CHECK(axial_shrinkage(paste, 20, 0.4) == Approx(limit * shrinkage).epsilon(0.02));
  const double rigid = read(paste, specimen(true, 20, 0.4, holds)),
               held = paste.stiffness.final_modulus * shrinkage / (1 - 2 * poisson);
  CHECK(rigid < held);
  CHECK(rigid > 0.94 * held);
}

// A disc that keeps its volume between rigid plates is stiffer than its material by 1 + 2 S^2, S its radius
// over twice its height (Gent and Lindley 1959, Proc Inst Mech Eng 173:111, from memory).
TEST_CASE("a disc that keeps its volume is as stiff as its shape makes it", "[verification][fit]") {
  const Composite paste = elastic_paste(0.49995);
  const double shape = GENERATE(1.0, 2.0, 3.0), height = 1;
  const double diameter = 4 * shape * height;
  const double stiffness =
      read(paste, specimen(true, diameter, height, holds)) / axial_shrinkage(paste, diameter, height);
  CHECK(stiffness / paste.stiffness.final_modulus == Approx(1 + 2 * shape * shape).epsilon(0.06));
}

// Correspondence: where all moduli grow and relax alike and nothing yields, a disc bears what a bar bears,
// times a number that its shape alone makes.
TEST_CASE("a disc whose stress flows as a whole follows a bar", "[verification][fit]") {
  Composite paste = MaterialLibrary::load(material_library_file()).composite("conventional-paste").values;
  paste.flow = {.vitrification = 0.6, .volume = 1, .branches = {}};
  paste.flow.branches[0] = {0.5, 5, 2000};
  paste.flow.branches[1] = {0.2, 50, 50};
  MeasuredCurve bar = specimen(false, 1, 40, holds), disc = specimen(true, 4, 1, holds);
  bar.data = disc.data = {{5, 0, 0}, {20, 0, 0}, {200, 0, 0}, {2000, 0, 0}};
  const std::vector<double> of_bar = predicted(paste, bar), of_disc = predicted(paste, disc);
  const double shape = of_disc[0] / of_bar[0];
  CHECK(shape > 1.3);
  CHECK(of_bar[3] < 0.9 * of_bar[2]);
  for (std::size_t i = 0; i < of_bar.size(); ++i)
    CHECK(of_disc[i] / of_bar[i] == Approx(shape).epsilon(1e-6));
}

TEST_CASE("the rate of shrinkage is that of the cure law", "[fit]") {
  const Composite paste = elastic_paste(0.3);
  const MeasuredCurve curve{.kind = CurveKind::shrinkage_rate,
                            .name = "",
                            .irradiance = 1000,
                            .lit = 20,
                            .data = {{1.5, 0, 0}, {4, 0, 0}}};
  const std::vector<double> rates = predicted(paste, curve);
  for (std::size_t i = 0; i < rates.size(); ++i) {
    const CureState state =
        advance(paste.cure, {}, paste.light.at_depth(1000, 0), curve.data[i].at + 0.005);  // mid of its step
    CHECK(rates[i] ==
          Approx(paste.volumetric_shrinkage * cure_rate(paste.cure, state.conversion, state.drive))
              .epsilon(1e-3));
  }
}

// The mean of two values weighed by their squared errors, and the error of that mean.
TEST_CASE("a datum with an error and a constant known before meet where their errors say", "[verification]") {
  const ScratchFolder scratch;
  std::ofstream(scratch.path() / "a.csv") << "time [s],shrinkage [%],error [%]\n10000,3.0,0.2\n";
  const Fit found = fitted(
      scratch,
      "name = \"x\"\nloss = \"squares\"\nabout = \"Says \\\"so\\\".\"\nfrom = "
      "\"conventional-paste\"\n[[curve]]\nkind = "
      "\"shrinkage\"\nfile = \"a.csv\"\nirradiance = 1000\nduration = 3600\nbasis = \"published\"\nsource = "
      "\"a paper\"\n[values.stiffness]\npoisson_ratio = {value = 0.25, basis = "
      "\"assumption\"}\n[[constant]]\n"
      "key = \"volumetric_shrinkage\"\nstart = 0.02\nerror = 0.001\nlow = 0.005\nhigh = 0.06\n");
  CHECK(found.constants.front().value == Approx((0.03 / 4 + 0.02 / 1) / (1.0 / 4 + 1)).epsilon(1e-3));
  CHECK(found.constants.front().standard_error == Approx(0.001 / std::sqrt(1.25)).epsilon(1e-3));
  CHECK(found.constants.front().half_width == Approx(1.96 * 0.001 / std::sqrt(1.25)).epsilon(1e-3));
  const Measurements read = read_measurements(scratch.path() / "m.toml");
  const std::string file = material_file(read, found);
  CHECK_THAT(file, Contains("# a.csv (published): a paper") && Contains("taken as known before: 0.02") &&
                       Contains("about = \"Says \\\"so\\\".\"") && Contains("poisson_ratio = {value = 0.25"));
  std::ofstream(scratch.path() / "material.toml") << file;
  MaterialLibrary library = MaterialLibrary::load(material_library_file());
  library.add(scratch.path() / "material.toml");
  CHECK(library.composite("x").values.stiffness.poisson_ratio == 0.25);
}

TEST_CASE("published values at fault are refused", "[fit]") {
  const ScratchFolder scratch;
  const std::string text =
      "name = \"x\"\nfrom = \"conventional-paste\"\n[[curve]]\nkind = \"shrinkage\"\nfile = "
      "\"a.csv\"\nirradiance = 1000\nduration = 20\n[[constant]]\nkey = \"volumetric_shrinkage\"\n";
  std::ofstream(scratch.path() / "a.csv") << "time [s],shrinkage [%],error [%]\n100,3.0,0\n";
  CHECK_THROWS_WITH(fitted(scratch, text),
                    Contains("a.csv:2, column \"error [%]\": is 0; must be above 0, the standard error"));
  CHECK_THROWS_WITH(fitted(scratch, text + "[values]\nvolumetric_shrinkage = 0.02\n"),
                    Contains("volumetric_shrinkage") || Contains("error [%]"));
  std::ofstream(scratch.path() / "a.csv") << "time [s],shrinkage [%],error [%]\n100,3.0,0.1\n";
  CHECK_THROWS_WITH(fitted(scratch, text + "[values]\nvolumetric_shrinkage = 0.02\n"),
                    Contains("is also a [[constant]] that is to be found"));
  CHECK_THROWS_WITH(fitted(scratch, text), Contains("1 data are too few for 1 constants"));
}
