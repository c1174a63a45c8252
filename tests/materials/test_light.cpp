#include <catch2/catch.hpp>
#include <cmath>

#include "materials/composite.hpp"

using namespace setstress;

// Beer-Lambert: exp(-0.89 * 2) = 0.1686; 0.89 /mm is where the published attenuation of bulk-fill and
// conventional pastes meet (derived from transmittances in Oper Dent 2018;43:E19).
TEST_CASE("0.89 /mm lets 16.9 % of the light through 2 mm", "[verification]") {
  const LightLaw paste{.reflection = 0, .attenuation = 0.89};
  CHECK(paste.at_depth(1000, 2) / 1000 == Approx(0.1686).epsilon(5e-4));  // the source gives three figures
  CHECK(paste.at_depth(1000, 2) == Approx(1000 * std::exp(-1.78)).epsilon(1e-14));
}

TEST_CASE("reflection takes its share once, at the surface", "[verification]") {
  const LightLaw paste{.reflection = 0.1, .attenuation = 0.9};
  CHECK(paste.at_depth(1000, 0) == Approx(900).epsilon(1e-14));
  CHECK(paste.at_depth(1000, 3) == Approx(paste.at_depth(1000, 1) * std::exp(-1.8)).epsilon(1e-14));
}

TEST_CASE("light refuses a negative depth or irradiance", "[errors]") {
  const LightLaw paste{.reflection = 0, .attenuation = 1};
  CHECK_THROWS_WITH(paste.at_depth(1000, -0.5), Catch::Contains("depth below the lit surface is -0.5 mm"));
  CHECK_THROWS_WITH(paste.at_depth(-1, 0.5), Catch::Contains("irradiance is -1 mW/cm2; must be 0 or more"));
  CHECK_THROWS_AS(paste.at_depth(std::nan(""), 1), std::invalid_argument);
}
