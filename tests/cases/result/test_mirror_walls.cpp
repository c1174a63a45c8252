// Which ready-made cases are their own mirror images, and what makes one no longer so.

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/result/mirror_walls.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;

namespace {

bool mirrors(const std::string& name) {
  return mirror_walls(read_case(find_case(name))).size() == 1;
}

/// deep-box-bulk with more lines.
bool mirrors_with(const std::string& lines) {
  const ScratchFolder folder;
  const std::string base = find_case("deep-box-bulk").string();
  return mirror_walls(read_case(folder.write("case.toml", "base = \"" + base + "\"\n" + lines))).size() == 1;
}

}  // namespace

TEST_CASE("a centred box lit from occlusal in level layers mirrors its side walls", "[cases]") {
  CHECK(mirror_walls(read_case(find_case("deep-box-bulk"))) ==
        std::vector<std::array<std::string, 2>>{{"buccal", "lingual"}});
  CHECK(mirrors("deep-box-floor-layer"));
  CHECK(mirrors("through-box"));
  CHECK(mirrors("flexing-mould"));
}

TEST_CASE("a box in the middle of the tooth mirrors its mesial and distal walls as well", "[cases]") {
  using Pairs = std::vector<std::array<std::string, 2>>;
  CHECK(mirror_walls(read_case(find_case("shallow-occlusal-box"))) ==
        Pairs{{"buccal", "lingual"}, {"mesial", "distal"}});
  const ScratchFolder folder;
  const std::string light = "[[plan.light]]\nirradiance = 1000.0\nduration = \"20 s\"\nfrom = ";
  const auto pairs = [&](const std::string& lines) {
    return mirror_walls(read_case(folder.write("case.toml", "base = \"shallow-occlusal-box\"\n" + lines)));
  };
  CHECK(pairs(light + "\"mesial\"\n") == Pairs{{"buccal", "lingual"}});
  CHECK(pairs(light + "\"buccal\"\n") == Pairs{{"mesial", "distal"}});
  CHECK(pairs("[preparation]\noffset_x = 0.5\n") == Pairs{{"buccal", "lingual"}});
}

TEST_CASE("a bite to one side, or a bond of one wall, ends the mirror", "[cases]") {
  CHECK(mirrors_with("[[bite]]\nforce = 50.0\n"));
  CHECK(!mirrors_with("[[bite]]\ncentre = [-3.0, 0.5]\n"));
  CHECK(!mirrors_with("[[bite]]\ndirection = [0, 1, -1]\n"));
  CHECK(!mirrors_with("[[bite]]\nsurface = \"occlusal buccal\"\n"));
  CHECK(mirrors_with("[bond.wall.floor]\nfilm_thickness = 0.05\n"));
  CHECK(!mirrors_with("[bond.wall.buccal]\nfilm_thickness = 0.05\n"));
}

TEST_CASE("oblique layers, an offset, a light from one side or no side walls end the mirror", "[cases]") {
  CHECK(!mirrors("deep-box-oblique"));
  CHECK(!mirrors("plug-in-ring"));
  CHECK(mirrors_with(""));
  CHECK(!mirrors_with("[preparation]\noffset_y = 0.5\n"));
  const std::string light = "[[plan.light]]\nirradiance = 1000.0\nduration = \"20 s\"\nfrom = ";
  CHECK(mirrors_with(light + "\"mesial\"\n"));
  CHECK(!mirrors_with(light + "\"buccal\"\n"));
}
