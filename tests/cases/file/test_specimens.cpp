// Every specimen of the handbook can be written in a case file; what has no filling needs no plan.
#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/file/read_geometry.hpp"
#include "cases/pose/pose.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

Case read(const ScratchFolder& folder, const std::string& kind, const std::string& more) {
  return read_case(folder.write("case.toml", "[specimen]\nkind = \"" + kind + "\"\n" + more));
}

const std::string one_increment = "\n[plan]\n[[plan.increment]]\nlight = []\n";

}  // namespace

TEST_CASE("every kind of specimen reads and has the surface it is held by", "[cases]") {
  const auto [kind, surface, filled] =
      GENERATE(table<std::string, std::string, bool>({{"butt-joint", "top", true},
                                                      {"disc-between-plates", "bottom", true},
                                                      {"bimaterial-strip", "x0", true},
                                                      {"plug-in-ring", "outer", true},
                                                      {"ball-in-shell", "z0", true},
                                                      {"flexing-mould", "bottom", true},
                                                      {"free-block", "z1", true},
                                                      {"lap-joint", "lower end", true},
                                                      {"double-cantilever-beam", "upper load", true},
                                                      {"layer-on-base", "bottom", true},
                                                      {"elliptic-plate", "outer lower", false},
                                                      {"tapered-cylinder", "inner", false}}));
  INFO(kind);
  const ScratchFolder folder;
  const double size = filled ? 1.0 : 400.0;
  const Case input = read(folder, kind,
                          "[mesh]\nfineness = " + std::to_string(size) + "\n[[hold]]\nsurface = \"" +
                              surface + "\"\n" + (filled ? one_increment : ""));
  CHECK(kind_of(input.geometry) == kind);
  CHECK(extent_of_filling(input.geometry).has_filling == filled);
  const Model model = pose(input);
  CHECK(model.timeline.placements.size() == (filled ? 1 : 0));
}

TEST_CASE("a free strain and a line of holds name what is there", "[cases]") {
  const ScratchFolder folder;
  const std::string held =
      "[[hold]]\nsurface = \"outer lower\"\nmeeting = \"outer upper\"\n[mesh]\nfineness = 500.0\n";
  const Case good =
      read(folder, "elliptic-plate",
           held +
               "[[hold]]\nsurface = \"bottom\"\n[[free_strain]]\nregion = \"solid\"\nuniform = 0.001\n"
               "gradient = [0.0, 0.0, 1e-6]\nradial = 2e-6\nramp = \"1 min\"\n");
  const Model model = pose(good);
  REQUIRE(model.free_strains.size() == 1);
  CHECK(model.free_strains.front().at({300, 400, 100}) == Approx(0.001 + 1e-4 + 1e-3));
  CHECK(model.free_strains.front().ramp == 60);
  CHECK(model.fixed.front().meeting == "outer upper");

  CHECK_THROWS_WITH(pose(read(folder, "elliptic-plate", held + "[[free_strain]]\nregion = \"solld\"\n")),
                    Contains("free_strain") && Contains("did you mean \"solid\"?"));
  CHECK_THROWS_WITH(pose(read(folder, "elliptic-plate",
                              "[[hold]]\nsurface = \"x0\"\nmeeting = \"bottm\"\n[mesh]\n"
                              "fineness = 500.0\n")),
                    Contains("meeting") && Contains("did you mean \"bottom\"?"));
  CHECK_THROWS_WITH(pose(read(folder, "elliptic-plate",
                              "[[hold]]\nsurface = \"bottom\"\nmeeting = \"top\"\n[mesh]\n"
                              "fineness = 500.0\n")),
                    Contains("do not meet"));
}

TEST_CASE("a frame holds the upper plate by springs along the axis, and guides it", "[cases]") {
  const ScratchFolder folder;
  const std::string coarse = "[mesh]\nfineness = 0.6\n[[hold]]\nsurface = \"bottom\"\n" + one_increment;
  const Model model =
      pose(read(folder, "butt-joint", "width = 2.0\n" + coarse + "[frame]\nstiffness = 20\n"));
  REQUIRE(model.foundations.size() == 1);
  CHECK(model.foundations.front().normal == Approx(20'000 / 2.0));  // N/mm over mm2
  CHECK(model.foundations.front().tangential == 0);
  CHECK(model.fixed.back().surface == "top");
  CHECK(model.fixed.back().held == std::array{true, true, false});
}

TEST_CASE("a frame that cannot be is refused", "[cases]") {
  const ScratchFolder folder;
  const std::string held = "[[hold]]\nsurface = \"bottom\"\n" + one_increment;
  const auto frame = [](const std::string& stiffness) { return "[frame]\nstiffness = " + stiffness + "\n"; };
  for (const std::string stiffness : {"0", "-3.5"})
    CHECK_THROWS_WITH(read(folder, "butt-joint", held + frame(stiffness)),
                      Contains("frame.stiffness is " + stiffness + " [N/um]; must be above 0") &&
                          Contains("leave [frame] out"));
  CHECK_THROWS_WITH(read(folder, "disc-between-plates", held + frame("5")),
                    Contains("plate_thickness above 0"));
  CHECK_THROWS_WITH(read(folder, "plug-in-ring", held + frame("5")),
                    Contains("nothing for the frame to hold"));
  CHECK_THROWS_WITH(read(folder, "butt-joint", held + "[[hold]]\nsurface = \"top\"\n" + frame("5")),
                    Contains("a [[hold]] holds \"top\" as well"));
  CHECK_THROWS_WITH(read(folder, "butt-joint", held + "[frame]\n"), Contains("frame.stiffness"));
}
