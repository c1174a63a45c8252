// Files that build on others: by ready-made name, keys taken back, and faults shown where they were written.
// Facts about our own case format; no source.

#include <toml++/toml.h>

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "cases/pose/unused_values.hpp"
#include "cases/reader/case_layers.hpp"
#include "tests/cases/scratch_case.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

TEST_CASE("a case builds on a ready-made one by its name", "[cases]") {
  const ScratchFolder folder;
  const Case input =
      read_case(folder.write("mine.toml", "base = \"deep-box-bulk\"\n[preparation]\ndepth = 4.0\n"));
  CHECK(std::get<ToothCase>(input.geometry).preparation.depth == 4.0);
  CHECK(input.title == "mine");  // a title tells of its own file alone: "5.4 mm at once" is no longer true
  CHECK(input.notes.empty());
  CHECK_THROWS_WITH(read_case(folder.write("slip.toml", "base = \"deep-box-bulc\"\n")),
                    Contains("slip.toml:1: base") && Contains("did you mean \"deep-box-bulk\"?"));
  CHECK_THROWS_WITH(read_case(folder.write("slip.toml", "base = \"deep-box-bulk.toml\"\n")),
                    Contains("did you mean \"deep-box-bulk\"?") && Contains("there is no such file"));
  folder.write("deep-box-bulk", good_case);  // a file of that name beside it comes first
  const Case beside = read_case(folder / "mine.toml");
  CHECK(std::get<ToothCase>(beside.geometry).preparation.width == 3.0);
}

TEST_CASE("keys of a base are taken back, so that another kind of box can stand on it", "[cases]") {
  const ScratchFolder folder;
  const std::string box = "[preparation]\nkind = \"occlusal-box\"\n";
  CHECK_THROWS_WITH(read_case(folder.write("bad.toml", "base = \"deep-box-bulk\"\n" + box)),
                    Contains("preparation.side is not a key"));
  const Case input = read_case(folder.write(
      "good.toml", "base = \"deep-box-bulk\"\nwithout = [\"preparation.side\", \"tooth\"]\n" + box));
  CHECK(std::get<ToothCase>(input.geometry).preparation.kind == Preparation::Kind::occlusal_box);
  CHECK(std::get<ToothCase>(input.geometry).tooth.length == Tooth().length);  // the default again
  folder.write("next.toml", "base = \"good.toml\"\nwithout = [\"preparation.kind\"]\n");
  CHECK_THROWS_WITH(read_case(folder / "next.toml"), Contains("preparation.kind is missing"));
  CHECK_THROWS_WITH(
      read_case(folder.write("slip.toml", "base = \"deep-box-bulk\"\n\nwithout = [\"preparation.sied\"]\n")),
      Contains("slip.toml:3: without lists \"preparation.sied\""));
}

TEST_CASE("no light of its own for every increment leaves that of the plan idle, and says so", "[cases]") {
  const ScratchFolder folder;
  const std::string dark = "base = \"below.toml\"\n[[plan.increment]]\nlight = []\n";
  folder.write("below.toml", good_case);
  const Case input = read_case(folder.write("dark.toml", dark));
  CHECK(input.plan.timeline.exposures.empty());
  REQUIRE(input.plan.notes.size() == 1);
  CHECK_THAT(input.plan.notes[0], Contains("below.toml:12: plan.light lights nothing"));
  folder.write("below.toml", changed("irradiance = 1000.0", "irradiance = 0.0"));
  CHECK_THROWS_WITH(read_case(folder / "dark.toml"), Contains("below.toml:13: plan.light[1].irradiance"));
}

TEST_CASE("a fault is shown where its cause was written", "[cases]") {
  const ScratchFolder folder;
  folder.write("below.toml", changed("wait = \"1 min\"", "material = \"flowable\"") +
                                 "[bond.strength_maturity]\nlaw = \"chairside-rule\"\nat_once = 0.5\n");
  const auto refusal = [&](const std::string& text) -> std::string {
    try {
      (void)mesh_of(read_case(folder.write("a.toml", "base = \"below.toml\"\n" + text)));
    } catch (const CaseError& error) {
      return error.what();
    }
    return "not refused";
  };
  CHECK_THAT(refusal("[materials]\nfilling = \"\"\n"), Contains("a.toml:3: materials.filling"));
  CHECK_THAT(refusal("[bond.strength_maturity]\nat_once = 0.8\n"),
             Contains("a.toml:3: bond.strength_maturity.at_once"));
  CHECK_THAT(refusal("[bond.strength_maturity]\nlaw = \"table\"\npoints = [[0, 0.7], [60, 0.4]]\n"),
             Contains("a.toml:4: bond.strength_maturity.points"));
  const std::string plane = "[mesh]\nfineness = 1.0\n[[plan.increment]]\nlayer = \"plane\"\n";
  CHECK_THAT(refusal(plane + "point = [0, 0, 5]\nnormal = [0, 0, 0]\n[[plan.increment]]\n"),
             Contains("a.toml:7: plan.increment[1].normal has no direction"));
  CHECK_THAT(refusal(plane + "point = [0, 0, 50]\nnormal = [0, 0, 1]\n[[plan.increment]]\n"),
             Contains("a.toml:5: plan.increment[1]: layout: plane 1"));
  const std::string thin = refusal("[tooth]\nside_enamel = 0.001\n[mesh]\nfineness = \"coarse\"\n");
  CHECK_THAT(thin, Contains("a.toml:3: tooth.side_enamel is 0.001 [mm]") && !Contains("Gmsh"));
}

TEST_CASE("a specimen is not asked about bonds to tissues that it does not have", "[cases]") {
  const ScratchFolder folder;
  const std::string soft =
      "base = \"butt-joint\"\n[bond]\nnormal_stiffness = 10000.0\nshear_stiffness = 3000.0\n"
      "[bond.strength.fixture]\ntensile = 10.0\nshear = 10.0\n";
  CHECK_NOTHROW(
      read_case(folder.write("soft.toml", soft)));  // S^2 / (2 k) = 0.005 and 0.017 N/mm: below 0.089
  CHECK_THROWS_WITH(read_case(folder.write("softer.toml", soft + "fracture_energy_sliding = 0.012\n")),
                    Contains("strength.fixture.fracture_energy_sliding"));
}
