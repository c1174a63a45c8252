// Files that cannot be, and values that only look like others: each ends in a sentence. Facts about our own
// format; no source.

#include <catch2/catch.hpp>

#include "cases/reader/data_folder.hpp"
#include "cases/reader/toml_reader.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

std::string deep_key(int parts) {
  std::string key = "a";
  for (int part = 1; part < parts; ++part) key += ".a";
  return key;
}

}  // namespace

TEST_CASE("a key of forty thousand parts is refused, whether it stands alone, in a heading or in a table",
          "[cases]") {
  const ScratchFolder folder;
  for (const std::string& text :
       {"title = \"a.b # c\"\n" + deep_key(40000) + " = 1\n", "# a comment\n[" + deep_key(40000) + "]\n",
        "\nx = {" + deep_key(40000) + " = 1}\n"})
    CHECK_THROWS_WITH(parse_toml(folder.write("deep.toml", text)),
                      Contains("deep.toml:2: holds a key of more than 32 parts"));
  CHECK_NOTHROW(
      parse_toml(folder.write("shallow.toml", deep_key(32) + " = '" + std::string(50, '.') + "'\n")));
  CHECK_NOTHROW(
      parse_toml(folder.write("text.toml", "a = \"\"\"\n" + std::string(99, '.') + " \\\"\"\"\"\n")));
}

TEST_CASE("links to themselves, names that are too long and folders are no files, and say so", "[cases]") {
  const ScratchFolder folder;
  std::filesystem::create_symlink("loop.toml", folder / "loop.toml");
  CHECK_THROWS_WITH(parse_toml(folder / "loop.toml"),
                    Contains("loop.toml: is a link that leads back to itself"));
  CHECK_THROWS_WITH(find_case((folder / "loop.toml").string()), Contains("leads back to itself"));
  const std::string longer(5000, 'x');
  try {
    (void)find_case(longer);
    FAIL("not refused");
  } catch (const CaseError& error) {
    CHECK_THAT(error.what(), Contains("longer than this system allows"));
    CHECK(std::string(error.what()).size() < 700);
  }
  CHECK_THROWS_WITH(parse_toml(folder.path()), Contains("is a folder"));
  CHECK_THROWS_WITH(parse_toml("/dev/null"), Contains("is no ordinary file"));
}

TEST_CASE("a time is a decimal number and a unit", "[cases]") {
  const ScratchFolder folder;
  const Section root({parse_toml(folder.write(
      "times.toml",
      "good = \"1.5 min\"\nhex = \"0x10 s\"\nendless = \"inf s\"\nnone = \"nan s\"\nbare = \"12\"\n"))});
  const Quantity any{"s", 0, 1e6};
  CHECK(root.time("good", any) == 90.0);
  for (const char* key : {"hex", "endless", "none", "bare"})
    CHECK_THROWS_WITH(root.time(key, any), Contains("must be a time"));
}

TEST_CASE("a long value is not echoed whole", "[cases]") {
  const ScratchFolder folder;
  const Section root({parse_toml(folder.write("long.toml", "size = \"" + std::string(60000, 'w') + "\"\n"))});
  try {
    (void)root.number("size", {"mm", 0, 1});
    FAIL("not refused");
  } catch (const CaseError& error) {
    CHECK(std::string(error.what()).size() < 600);
    CHECK_THAT(error.what(), Contains("and 59880 bytes more"));
  }
}

TEST_CASE("letters that are not to be seen are written out in messages", "[cases]") {
  CHECK(shortened("a\nb\x01%s") == "a\\nb\\u0001%s");
  CHECK_THROWS_WITH(find_case("no\nfile"), Contains("no\\nfile: there is no such file"));
}

TEST_CASE("what is no TOML is said without the parser's words", "[cases]") {
  const ScratchFolder folder;
  CHECK_THROWS_WITH(
      parse_toml(folder.write("a.toml", "[plan\n")),
      Contains("a.toml:1: not TOML at column 6, in a table header") && !Contains("Error while parsing"));
  CHECK_THROWS_WITH(parse_toml(folder.write("b.toml", "\xff\xfe")), Contains("is no text in UTF-8"));
}

TEST_CASE("of a table that hides another only the hidden keys go unasked", "[cases]") {
  const ScratchFolder folder;
  const auto above = parse_toml(folder.write("above.toml", "a = {value = 1, sorce = 2}\n"));
  const auto below = parse_toml(folder.write("below.toml", "a = {value = 2, basis = 3}\n"));
  const Section root({above, below});
  CHECK(root.top_section("a").number("value", {"-", 0, 9}) == 1);
  CHECK_THROWS_WITH(root.refuse_unknown_keys(), Contains("above.toml:1: a.sorce is not a key"));
}
