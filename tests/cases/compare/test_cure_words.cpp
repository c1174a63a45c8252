// Paste that has not set through pulls less: no lower load may be told without that.

#include <catch2/catch.hpp>

#include "cases/compare/cure_words.hpp"
#include "tests/cases/compare/told_results.hpp"

using namespace setstress;
using namespace setstress::testing;
using nlohmann::ordered_json;

namespace {

/// With a conversion beside the floor, and of the top.
ResultRecord cured(const std::string& name, double ratio, double conversion, double top = 0.98) {
  ResultRecord result = told_result(name, {{"floor", ratio}, {"all", 1.0}});
  result.summary["bond"][0]["end"]["conversion_mean"] = conversion;
  result.summary["cure"] = {
      {"increments", {{{"increment", 1}, {"conversion_top", top}, {"under_cured", false}}}},
      {"walls", ordered_json::array()}};
  return result;
}

}  // namespace

TEST_CASE("a wall that is pulled less beside paste that has set less is told to be so", "[cases]") {
  const auto sentences = sentences_of(cured("A", 0.9, 0.75), cured("B", 1.3, 0.98));
  CHECK(sentences[2] ==
        "The floor is pulled less in \"A\" also because the paste there has reached only 75 % of the "
        "conversion "
        "that it can reach (98 % in \"B\"). This is not a benefit.");
}

TEST_CASE("a wall that is pulled more beside paste that has set less is told otherwise", "[cases]") {
  const auto sentences = sentences_of(cured("A", 1.3, 0.98), cured("B", 1.9, 0.75));
  CHECK(sentences[2] ==
        "The floor fares no better in \"B\" although the paste there has reached only 75 % of the conversion "
        "that "
        "it can reach (98 % in \"A\"), and paste that has set less pulls less.");
}

TEST_CASE("two pastes that both have not set through are told, two that have are not", "[cases]") {
  CHECK(
      sentences_of(cured("A", 1.3, 0.75), cured("B", 1.3, 0.76))[2] ==
      "Beside the floor the paste has reached 75 % of the conversion that it can reach in \"A\" and 76 % in "
      "\"B\", and not 90 % of what the top has: it pulls less than a cured filling would. This is not a "
      "benefit.");
  CHECK(sentences_of(cured("A", 1.3, 0.95), cured("B", 1.9, 0.97)).size() == 4);
}

TEST_CASE("exposures are irradiance times time, like ones counted", "[cases]") {
  const auto on = [](double time) -> ordered_json {
    return {{"time_s", time}, {"event", "light on, 1000 mW/cm2 from occlusal"}};
  };
  const auto off = [](double time) -> ordered_json { return {{"time_s", time}, {"event", "light off"}}; };
  CHECK(exposures_text(ordered_json::array()) == "-");
  CHECK(exposures_text({on(5), off(45)}) == "40");
  CHECK(exposures_text({on(5), off(25), on(60), off(80)}) == "2 x 20");
  CHECK(exposures_text({on(5), off(25), on(60), off(70)}) == "20, 10");
}
