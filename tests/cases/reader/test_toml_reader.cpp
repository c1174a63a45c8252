#include "cases/reader/toml_reader.hpp"

#include <catch2/catch.hpp>

#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

/// Root section of a file that holds `text`; earlier arguments lie over later ones.
Section root_of(const std::vector<std::string>& texts) {
  const ScratchFolder folder;
  std::vector<std::shared_ptr<const toml::table>> layers;
  for (const std::string& text : texts)
    layers.push_back(parse_toml(folder.write("reader-" + std::to_string(layers.size()) + ".toml", text)));
  return Section(layers);
}

constexpr Quantity depth{"mm", 0.5, 12.0};

}  // namespace

TEST_CASE("a number outside its range is refused with file, line, key, value, limits and unit", "[cases]") {
  const Section root = root_of({"[preparation]\nwidth = 3\ndepth = 4000\n"});
  CHECK_THROWS_WITH(root.section("preparation").number("depth", depth),
                    Contains("reader-0.toml:3: preparation.depth is 4000 [mm]; must be between 0.5 and 12: "
                             "lengths are in mm"));
}

TEST_CASE("numbers that are not finite are refused", "[cases]") {
  const std::string value = GENERATE("nan", "inf", "-inf");
  CHECK_THROWS_AS(root_of({"depth = " + value}).number("depth", depth), CaseError);
}

TEST_CASE("a value of the wrong type is refused and shown", "[cases]") {
  CHECK_THROWS_WITH(root_of({"depth = \"deep\""}).number("depth", depth), Contains("the text \"deep\""));
  CHECK_THROWS_WITH(root_of({"depth = [4]"}).number("depth", depth), Contains("a list"));
  CHECK_THROWS_WITH(root_of({"depth = true"}).number("depth", depth),
                    Contains("is true; must be a number [mm]"));
  CHECK_THROWS_WITH(root_of({"case = 1"}).section("case"), Contains("must be a table"));
}

TEST_CASE("times are seconds or text with a unit", "[cases]") {
  constexpr Quantity wait{"s", 0, 1e6};
  CHECK(root_of({"wait = 90"}).time("wait", wait) == 90.0);
  CHECK(root_of({"wait = \"90 s\""}).time("wait", wait) == 90.0);
  CHECK(root_of({"wait = \"5 min\""}).time("wait", wait) == 300.0);
  CHECK(root_of({"wait = \"24h\""}).time("wait", wait) == 86400.0);
  const std::string wrong = GENERATE("5 weeks", "soon", "min", "5");
  CHECK_THROWS_WITH(root_of({"wait = \"" + wrong + "\""}).time("wait", wait), Contains("5 min"));
}

TEST_CASE("keys that nobody asked for are refused with a suggestion", "[cases]") {
  const Section root = root_of({"[tooth]\nlenght = 8.0\n"});
  CHECK(root.section("tooth").number("length", depth, 7.0) == 7.0);
  CHECK_THROWS_WITH(root.refuse_unknown_keys(),
                    Contains(":2: tooth.lenght") && Contains("did you mean \"length\"?"));
}

TEST_CASE("unknown keys are found in tables, in lists of tables and in a file laid below", "[cases]") {
  const std::string text =
      GENERATE("[a]\nx = 1\nextra = 1", "[[b]]\ny = 1\n[[b]]\ny = 2\nextra = 1", "[extra]\nz = 1");
  const Section root = root_of({"[a]\nx = 2", text});
  (void)root.section("a").number("x", depth);
  for (const Section& b : root.sections("b")) (void)b.number("y", depth);
  CHECK_THROWS_WITH(root.refuse_unknown_keys(), Contains("extra"));
}

TEST_CASE("a file lies over another key by key, lists as a whole", "[cases]") {
  const Section root = root_of({"[a]\nx = 2\n[[b]]\ny = 3", "[a]\nx = 1\nz = 5\n[[b]]\ny = 1\n[[b]]\ny = 2"});
  CHECK(root.section("a").number("x", depth) == 2.0);
  CHECK(root.section("a").number("z", depth) == 5.0);
  REQUIRE(root.sections("b").size() == 1);
  CHECK(root.sections("b")[0].number("y", depth) == 3.0);
}

TEST_CASE("a required key that is missing names its section and the near miss", "[cases]") {
  CHECK_THROWS_WITH(root_of({"[preparation]\ndept = 4"}).section("preparation").number("depth", depth),
                    Contains("preparation.depth is missing") && Contains("\"dept\""));
}

TEST_CASE("a choice that is not offered is refused with the list", "[cases]") {
  CHECK_THROWS_WITH(root_of({"kind = \"proximal-bx\""}).choice("kind", {"proximal-box", "cylinder"}),
                    Contains("did you mean \"proximal-box\"?") && Contains("cylinder"));
}

TEST_CASE("text that is not TOML is refused with line and column", "[cases]") {
  CHECK_THROWS_WITH(root_of({"[a]\nx = = 1"}), Contains(":2:"));
  CHECK_THROWS_WITH(parse_toml("no-such-case.toml"), Contains("no such file"));
}
