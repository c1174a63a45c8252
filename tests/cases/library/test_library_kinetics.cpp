// The shipped composites against published kinetics of cure and shrinkage.

#include <catch2/catch.hpp>
#include <cmath>

#include "cases/library/material_library.hpp"
#include "cases/reader/data_folder.hpp"

using namespace setstress;

namespace {

struct Peak {
  double time;  ///< [s] after light-on
  double rate;  ///< of volume [%/s]
};

Peak fastest_shrinkage(const Composite& paste, double local_irradiance) {
  Peak peak{0, 0};
  CureState state;
  constexpr double step = 0.01;  // [s]
  for (int i = 1; i <= 4000; ++i) {
    state = advance(paste.cure, state, local_irradiance, step);
    const double rate =
        100 * paste.volumetric_shrinkage * cure_rate(paste.cure, state.conversion, state.drive);
    if (rate > peak.rate) peak = {i * step, rate};
  }
  return peak;
}

double conversion_after(const Composite& paste, double depth, double seconds) {
  return advance(paste.cure, {}, paste.light.at_depth(1000, depth), seconds).conversion;
}

const Composite& shipped(const std::string& name) {
  static const MaterialLibrary library = MaterialLibrary::load(material_library_file());
  return library.composite(name).values;
}

const char* any_class() {
  return GENERATE("conventional-paste", "flowable", "bulk-fill-paste", "bulk-fill-flowable");
}

}  // namespace

// Peak shrinkage rate 0.404 %/s at 1.41 s for a microhybrid, 0.247 %/s at 3.21 s for a low-shrink composite
// (Cho, Lim and Lee, hdl 10371/82134): pastes fall between.
TEST_CASE("pastes shrink fastest at the published time and rate", "[verification][cases]") {
  const Composite& paste = shipped(GENERATE("conventional-paste", "bulk-fill-paste"));
  CAPTURE(paste.name);
  const Peak peak = fastest_shrinkage(paste, paste.light.at_depth(1000, 0));
  CHECK(peak.time > 1.41);
  CHECK(peak.time < 3.21);
  CHECK(peak.rate > 0.247);
  CHECK(peak.rate < 0.404);
}

// 18 composites on the bonded disc, 1200 mW/cm2 for 20 s: peak rate 0.11-0.59 %/s, strain 1.83-4.68 % (seen
// without authors). Our law shrinks in proportion to conversion, so at full conversion by the whole strain.
TEST_CASE("every class shrinks within the published spread", "[verification][cases]") {
  const Composite& paste = shipped(any_class());
  CAPTURE(paste.name);
  const Peak peak = fastest_shrinkage(paste, paste.light.at_depth(1200, 0));
  CHECK(peak.rate > 0.11);
  CHECK(peak.rate < 0.59);
  CHECK(100 * paste.volumetric_shrinkage > 1.83);
  CHECK(100 * paste.volumetric_shrinkage < 4.68);
}

// Real-time modulus: latent for 1-2 s after light-on, then growing through 10 s (Kim and Lee 2009, doi
// 10.5395/JKACD.2009.34.5.450).
TEST_CASE("the gel point is passed 1 to 2 s after light-on at the surface", "[verification][cases]") {
  const Composite& paste = shipped(any_class());
  CAPTURE(paste.name);
  CHECK(conversion_after(paste, 0, 1.0) < paste.stiffness.gel_point);
  CHECK(conversion_after(paste, 0, 2.0) > paste.stiffness.gel_point);
}

TEST_CASE("the surface reaches 0.8 of its limit within 10 to 20 s, deeper layers later", "[cases]") {
  const Composite& paste = shipped(any_class());
  CAPTURE(paste.name);
  CHECK(conversion_after(paste, 0, 10) < 0.8);
  CHECK(conversion_after(paste, 0, 20) > 0.8);
  for (int depth = 0; depth < 4; ++depth)
    CHECK(conversion_after(paste, depth + 1.0, 20) < conversion_after(paste, depth, 20));
}

// Transmittance through 2 and 4 mm: bulk-fill 27.0 to 2.9 %, conventional 16.7 to 0.7 % (Oper Dent
// 2018;43:E19, the higher value taken at 2 mm and the lower at 4 mm).
TEST_CASE("light through 2 and 4 mm lies within the published transmittances", "[verification][cases]") {
  const auto [name, most, least] =
      GENERATE(std::tuple{"conventional-paste", 16.7, 0.7}, std::tuple{"flowable", 16.7, 0.7},
               std::tuple{"bulk-fill-paste", 27.0, 2.9}, std::tuple{"bulk-fill-flowable", 27.0, 2.9});
  CAPTURE(name);
  CHECK(shipped(name).light.at_depth(100, 2) < most);
  CHECK(shipped(name).light.at_depth(100, 4) > least);
}
