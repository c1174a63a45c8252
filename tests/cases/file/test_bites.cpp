// [[bite]]: stages after the plan. Facts about our own case format; no source.

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "tests/cases/scratch_case.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {
const std::string coarse = "[mesh]\nfineness = \"coarse\"\n";
}

TEST_CASE("bites follow the plan and each other", "[cases]") {
  const ScratchFolder folder;
  const Case plain = read_case(folder.write("plain.toml", good_case));
  const Case input = read_case(folder.write("bites.toml", good_case + coarse + R"([[bite]]
area = 1.0
[[bite]]
surface = "occlusal buccal"
force = 60.0
direction = [0, 2, -2]
wait = "5 s"
cycles = 3
)"));
  const Timeline& timeline = input.plan.timeline;
  REQUIRE(timeline.bites.size() == 2);
  CHECK(timeline.bites[0].start == plain.plan.timeline.end + 1);
  CHECK(timeline.bites[0].force == 100);
  CHECK(timeline.bites[0].radius == Approx(0.5642).margin(1e-4));  // 1/sqrt(pi)
  CHECK(timeline.bites[1].start == Approx(timeline.bites[0].end() + 5));
  CHECK(timeline.bites[1].end() - timeline.bites[1].start == Approx(3 * 0.7 - 0.4));
  CHECK(timeline.bites[1].direction.norm() == Approx(1));
  CHECK(timeline.end == timeline.bites[1].end());
  CHECK(input.plan.chair_time == plain.plan.chair_time);
  CHECK(pose(input).timeline.bites == timeline.bites);
}

TEST_CASE("slips in bites are refused where they were written and crushing is told", "[cases]") {
  const ScratchFolder folder;
  const auto posed = [&](const std::string& bite) {
    return pose(read_case(folder.write("bites.toml", good_case + coarse + "[[bite]]\n" + bite)));
  };
  CHECK_THROWS_WITH(
      posed("surface = \"oclusal\"\n"),
      Contains("bites.toml:23: bite[1]") && Contains("surface is \"oclusal\"; this shape has:"));
  CHECK_THROWS_WITH(posed("radius = 3.0\n"),
                    Contains("bites.toml:23: bite[1]") && Contains("radius is 3 [mm]"));
  CHECK_THROWS_WITH(posed("radius = 0.5\narea = 1.0\n"), Contains("cannot stand beside radius"));
  CHECK_THROWS_WITH(posed("force = -5.0\n"), Contains("force is -5 [N]"));
  CHECK_THROWS_WITH(posed("direction = [0, 0, 0]\n"), Contains("must not be [0, 0, 0]"));
  const Case hard = read_case(folder.write("hard.toml", good_case + "[[bite]]\nforce = 400.0\narea = 1.0\n"));
  REQUIRE(hard.plan.notes.size() == 1);
  CHECK_THAT(hard.plan.notes[0], Contains("hard.toml:21") && Contains("400 MPa") && Contains("crushed"));
  const auto notes = [&](const std::string& bite) {
    return read_case(folder.write("pause.toml", good_case + "[[bite]]\n" + bite)).plan.notes;
  };
  CHECK_THAT(notes("pause = 2.0\n").at(0), Contains("pause.toml:21") && Contains("this bite comes once"));
  CHECK(notes("pause = 2.0\ncycles = 2\n").empty());
}

TEST_CASE("names that a shape cannot have are refused before it is meshed", "[cases]") {
  const ScratchFolder folder;
  const auto refused = [&](const std::string& lines) {
    const Case input = read_case(folder.write("names.toml", good_case + coarse + lines));
    bool meshed = false;
    try {
      mesh_of(input, [&](double) { meshed = true; });
    } catch (const CaseError& error) {
      CHECK_FALSE(meshed);
      return std::string(error.what());
    }
    return std::string("accepted");
  };
  CHECK_THAT(refused("[[bite]]\nsurface = \"oclusal buccal\"\n"),
             Contains("names.toml:23") && Contains("did you mean \"occlusal buccal\"?"));
  CHECK_THAT(refused("[[pressure]]\nsurface = \"top\"\nvalue = 1.0\n"), Contains("this shape has: base,"));
  CHECK_THAT(refused("[bond.wall.axail]\nfilm_thickness = 0.02\n"), Contains("is no wall of this shape"));
}

TEST_CASE("fluid in gaps is taken over in SI units, and refused where it cannot be", "[cases]") {
  const ScratchFolder folder;
  const auto read = [&](const std::string& fluid) {
    return read_case(folder.write("fluid.toml", good_case + coarse + fluid));
  };
  CHECK_FALSE(read("[[bite]]\n").plan.gap_fluid);
  CHECK_FALSE(read("[[bite]]\n[gap_fluid]\nfilled = \"empty\"\n").plan.gap_fluid);
  const Case input = read("[[bite]]\n[gap_fluid]\nfilled = 0.5\nconductance = {coronal-dentin = 0.06}\n");
  REQUIRE(input.plan.gap_fluid);
  CHECK(input.plan.gap_fluid->from == input.plan.timeline.bites[0].start);
  CHECK(input.plan.gap_fluid->filled == 0.5);
  const Case from_pulp = read("[[bite]]\n[gap_fluid]\nfilled = \"from-pulp\"\n");
  CHECK(from_pulp.plan.gap_fluid->filled == 0);
  CHECK(from_pulp.plan.gap_fluid->from == from_pulp.plan.chair_time);
  CHECK(from_pulp.plan.gap_fluid->air_leaves_until == from_pulp.plan.timeline.bites[0].start);
  CHECK(input.plan.gap_fluid->pulp_pressure == Approx(1.5e-3));
  // By hand: 0.06 uL a minute is 0.001 mm3 a second, 1 cm2 100 mm2, 1 cmH2O 98.0665e-6 MPa.
  CHECK(input.plan.gap_fluid->conductance[static_cast<std::size_t>(Substrate::coronal_dentin)] ==
        Approx(0.001 / 100 / 98.0665e-6));
  CHECK(input.plan.gap_fluid->conductance[static_cast<std::size_t>(Substrate::enamel)] == 0);
  const Case sealed = read("[[bite]]\n[gap_fluid]\ndentin = \"sealed\"\n");
  for (const double conductance : sealed.plan.gap_fluid->conductance) CHECK(conductance == 0);
  CHECK_THROWS_WITH(read("[gap_fluid]\n"), Contains("gap_fluid") && Contains("without a [[bite]]"));
  CHECK_THROWS_WITH(read("[[bite]]\n[gap_fluid]\nconductance = {coronal-dentin = -1.0}\n"),
                    Contains("coronal-dentin is -1 [uL/(min cm2 cmH2O)]"));
  CHECK_THROWS_WITH(read("[[bite]]\n[gap_fluid]\nfilled = 0\n"), Contains("filled is 0"));
}
