// What is refused, sentence by sentence, and what a good case resolves to. Facts about our own case format;
// no source.

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "tests/cases/scratch_case.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {

struct Slip {
  const char* what;
  std::string before, after;           ///< in good_case
  std::vector<std::string> must_name;  ///< parts of the sentence
};

const std::vector<Slip> slips{
    {"unknown key",
     "depth = 2.0",
     "depth = 2.0\ndepht = 3.0",
     {":8:", "preparation.depht", "did you mean \"depth\"?"}},
    {"unknown section", "[materials]", "[material]", {":10:", "material", "did you mean \"materials\"?"}},
    {"wrong type",
     "depth = 2.0",
     "depth = \"deep\"",
     {":7:", "preparation.depth", "\"deep\"", "number [mm]"}},
    {"wrong unit of size",
     "depth = 2.0",
     "depth = 2000",
     {":7:", "2000 [mm]", "between 0.5 and 12", "in mm"}},
    {"missing key", "depth = 2.0\n", "", {":5:", "preparation.depth is missing"}},
    {"unknown kind", "occlusal-box", "oclusal-box", {":6:", "did you mean \"occlusal-box\"?", "cylinder"}},
    {"key of another kind", "depth = 2.0", "depth = 2.0\ndiameter = 3.0", {":8:", "preparation.diameter"}},
    {"a title without a word", "[tooth]", "[case]\ntitle = \" \"\n[tooth]", {":2:", "case.title is empty"}},
    {"preparation wider than its tooth", "width = 3.0", "width = 9.5", {":9:", "preparation.width"}},
    {"pulp opened", "[preparation]", "[tooth.pulp]\nroof = 5.0\n[preparation]", {"pulp"}},
    {"plan that does not fill",
     "wait = \"1 min\"",
     "layer = \"horizontal\"\nthickness = 0.4",
     {":19:", "plan.increment[2].layer", "empty", "repeat = true"}},
    {"layer higher than what is left",
     "thickness = 1.0",
     "thickness = 2.5",
     {":17:", "plan.increment[1].thickness", "at most 2"}},
    {"increments out of order in time",
     "wait = \"1 min\"",
     "placed_at = \"10 s\"",
     {":19:", "plan.increment[2].placed_at", "at least 45"}},
    {"nothing left to fill",
     "layer = \"horizontal\"\nthickness = 1.0",
     "layer = \"rest\"",
     {"plan.increment[2]", "nothing left"}},
    {"no light",
     "[[plan.light]]\nirradiance = 1000.0\nduration = \"20 s\"\n",
     "",
     {"plan.increment[1].light", "missing"}},
    {"time in unknown unit", "\"20 s\"", "\"20 sec\"", {":14:", "plan.light[1].duration", "5 min"}},
    {"irradiance in the wrong unit", "1000.0", "0.5", {":13:", "0.5 [mW/cm2]", "between 1 and 10000"}},
    {"unknown class of composite",
     "conventional-paste",
     "conventional-past",
     {":11:", "materials.filling", "did you mean \"conventional-paste\"?"}},
    {"Poisson's ratio of 0.5",
     "[[plan.light]]",
     "[materials.override.conventional-paste.stiffness]\npoisson_ratio = 0.5\n[[plan.light]]",
     {":13:", "poisson_ratio"}},
    {"shrinkage over 20 %",
     "[[plan.light]]",
     "[materials.override.conventional-paste]\nvolumetric_shrinkage = 0.25\n[[plan.light]]",
     {":13:", "volumetric_shrinkage", "0.25", "0.2"}},
    {"negative strength",
     "[[plan.light]]",
     "[bond.strength.enamel]\ntensile = -20.0\n[[plan.light]]",
     {":13:", "bond.strength.enamel.tensile", "-20"}},
    {"override of a class that is not used",
     "[[plan.light]]",
     "[materials.override.flowable]\nvolumetric_shrinkage = 0.03\n[[plan.light]]",
     {":12:", "flowable", "does not use"}},
    {"unknown maturity law",
     "[[plan.light]]",
     "[bond.strength_maturity]\nlaw = \"chairside\"\n[[plan.light]]",
     {":13:", "bond.strength_maturity.law", "chairside-rule"}},
    {"material file that is not there",
     "[[plan.light]]",
     "include = \"mine.toml\"\n[[plan.light]]",
     {":12:", "materials.include", "no such file"}},
    {"levels of dentin out of order",
     "[materials]",
     "[dentin_bands]\nmiddle_from = 4.0\n[materials]",
     {"dentin_bands.coronal_from", "order"}},
    {"tooth and specimen",
     "[materials]",
     "[specimen]\nkind = \"free-block\"\n[materials]",
     {"either a tooth or a specimen"}},
    {"text that is not TOML", "depth = 2.0", "depth = = 2.0", {":7:"}},
    {"a missing value says what it must be",
     "width = 3.0\n",
     "",
     {"preparation.width is missing; must be a number [mm], between 0.5 and 15"}},
    {"moved out of the tooth",
     "width = 3.0",
     "width = 3.0\noffset_y = 8.0",
     {":10: preparation.offset_y is 8 mm", "so far from the middle"}},
    {"steps without end",
     "[[plan.light]]",
     "[solver]\nlargest_time_step = 1e-9\n[[plan.light]]",
     {":13:", "solver.largest_time_step", "between 0.001 and"}},
    {"a line that a surface has with itself",
     "[[plan.light]]",
     "[[hold]]\nsurface = \"base\"\nmeeting = \"base\"\n[[plan.light]]",
     {":14: hold[1].meeting is \"base\", the surface itself"}},
};

}  // namespace

TEST_CASE("a slip in a case file is refused with file, line, key, value and what is allowed", "[cases]") {
  const ScratchFolder folder;
  for (const Slip& slip : slips) {
    DYNAMIC_SECTION(slip.what) {
      const auto file = folder.write("slip.toml", changed(slip.before, slip.after));
      std::string sentence = "not refused";
      try {
        (void)read_case(file);
      } catch (const CaseError& error) {
        sentence = error.what();
      }
      CHECK_THAT(sentence, Contains("slip.toml"));
      for (const std::string& part : slip.must_name) CHECK_THAT(sentence, Contains(part));
    }
  }
}

TEST_CASE("a surface that the shape does not have is refused with those it has", "[cases]") {
  const ScratchFolder folder;
  const auto file = folder.write("joint.toml",
                                 "[specimen]\nkind = \"butt-joint\"\n[[hold]]\nsurface = \"botom\"\n"
                                 "[[plan.increment]]\nlight = []\n[mesh]\nfineness = 0.5\n");
  const Case input = read_case(file);
  CHECK_THROWS_WITH(mesh_of(input),
                    Contains("joint.toml:4: hold[1].surface") && Contains("did you mean \"bottom\"?"));
}

TEST_CASE("supports that do not fit the body are refused with their place", "[cases]") {
  const ScratchFolder folder;
  const auto [holds, sentence] = GENERATE(table<std::string, std::string>(
      {{"[[hold]]\nsurface = \"bottom\"\nmeeting = \"top\"\n", "the two do not meet"},
       {"[[hold]]\nsurface = \"bottom\"\ncomponents = \"x\"\n", "of the 6 rigid motions of the body"},
       {"[[hold]]\nsurface = \"bottom\"\n[[hold]]\nsurface = \"bottom\"\nvalue = 0.1\n",
        "they must agree"}}));
  const auto file =
      folder.write("joint.toml", "[specimen]\nkind = \"butt-joint\"\n" + holds +
                                     "[[plan.increment]]\nlight = []\n[mesh]\nfineness = 0.5\n");
  CHECK_THROWS_WITH(pose(read_case(file)), Contains("joint.toml:3: ") && Contains(sentence));
}

TEST_CASE("light that must reach beyond what is known of its lamp is refused with its place", "[cases]") {
  const ScratchFolder folder;
  const auto file =
      folder.write("box.toml",
                   "base = \"shallow-occlusal-box\"\n[mesh]\nfineness = 1.5\n[[plan.increment]]\n"
                   "[[plan.increment.light]]\nirradiance = 1000\nduration = 20\ndistance_table = "
                   "[[0, 1], [0.5, 0.9]]\n");
  CHECK_THROWS_WITH(pose(read_case(file)),
                    Contains("box.toml:8: plan.increment[1].light[1].distance_table ends at 0.5 [mm]"));
}

TEST_CASE("a specimen that nothing holds is refused", "[cases]") {
  const ScratchFolder folder;
  const auto file =
      folder.write("loose.toml", "[specimen]\nkind = \"butt-joint\"\n[[plan.increment]]\nlight = []\n");
  CHECK_THROWS_WITH(read_case(file), Contains("[[hold]]"));
}

TEST_CASE("instants follow from waits, placing times, delays and exposures", "[cases]") {
  const ScratchFolder folder;
  const Case input = read_case(folder.write("good.toml", good_case));
  const Timeline& t = input.plan.timeline;
  REQUIRE(t.placements.size() == 2);
  REQUIRE(t.exposures.size() == 2);
  CHECK(t.placements[0].time == 20.0);                // placing time
  CHECK(t.exposures[0].start == 25.0);                // and 5 s until the lamp is on
  CHECK(t.placements[1].time == 45.0 + 60.0 + 20.0);  // light off, wait, placing time
  CHECK(t.exposures[1].start == 130.0);
  CHECK(input.plan.chair_time == 150.0);
  CHECK(t.end == 750.0);  // 10 min after the last light
  CHECK((t.exposures[0].direction - Eigen::Vector3d(0, 0, -1)).norm() == 0.0);
  REQUIRE(input.plan.layout.size() == 1);
  CHECK(input.plan.layout[0].point.z() == Approx(5.0));  // 1 mm above the floor at 6 - 2
}

TEST_CASE("a case builds on another, a circle is refused", "[cases]") {
  const ScratchFolder folder;
  folder.write("below.toml", good_case);
  const auto above = folder.write(
      "above.toml", "base = \"below.toml\"\n[preparation]\ndepth = 1.5\n[[plan.increment]]\nwait = 7\n");
  const Case input = read_case(above);
  CHECK(std::get<ToothCase>(input.geometry).preparation.depth == 1.5);
  CHECK(std::get<ToothCase>(input.geometry).preparation.width == 3.0);
  CHECK(input.plan.materials.size() == 1);
  CHECK(input.source.resolved()["preparation.width"]["from"].get<std::string>() ==
        (folder.path() / "below.toml").string() + ":9");

  folder.write("first.toml", "base = \"second.toml\"\n");
  const auto second = folder.write("second.toml", "base = \"first.toml\"\n");
  CHECK_THROWS_WITH(read_case(second), Contains("circle"));
}

TEST_CASE("a slip in the file below is named with that file", "[cases]") {
  const ScratchFolder folder;
  folder.write("below.toml", changed("depth = 2.0", "depth = 2.0\ntapre = 3.0"));
  const auto above = folder.write("above.toml", "base = \"below.toml\"\n");
  CHECK_THROWS_WITH(read_case(above), Contains("below.toml:8:") && Contains("did you mean \"taper\"?"));
}

TEST_CASE("light from buccal travels towards lingual, from a vector away from the lamp", "[cases]") {
  const ScratchFolder folder;
  const auto direction = [&](const std::string& from) {
    const auto file =
        folder.write("light.toml", changed("duration = \"20 s\"", "duration = \"20 s\"\nfrom = " + from));
    return read_case(file).plan.timeline.exposures[0].direction;
  };
  CHECK((direction("\"buccal\"") - Eigen::Vector3d(0, -1, 0)).norm() == 0.0);
  CHECK((direction("[0, 3, 4]") - Eigen::Vector3d(0, -0.6, -0.8)).norm() < 1e-15);
  CHECK_THROWS_WITH(direction("[0, 0, 0]"), Contains("no direction"));
}

TEST_CASE("bonds sit on enamel, on dentin by level, or on a fixture", "[cases]") {
  Mesh mesh;
  mesh.nodes = {{0, 0, 3.6}, {1, 0, 3.0}, {0, 1, 3.0}};  // centroid at z = 3.2
  mesh.regions = {{"enamel"}, {"dentin"}, {"plate"}};
  mesh.walls = {"floor"};
  for (int region = 0; region < 3; ++region) {
    mesh.tetrahedra.push_back({{}, region});
    mesh.bond.push_back({{0, 1, 2, 0, 1, 2}, {0, 1, 2, 0, 1, 2}, 0, region, 0});
  }
  const auto substrates =
      substrates_of(mesh, {.coronal_from = 3.3, .middle_from = 3.1, .cervical_from = 0.0});
  CHECK(substrates == std::vector{Substrate::enamel, Substrate::middle_dentin, Substrate::fixture});
}
