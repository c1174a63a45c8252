// Outputs are looked up before anything is solved. Facts about our own format; no source.

#include <catch2/catch.hpp>

#include "cases/study/runs/outputs_check.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

void look_up(const std::string& output, const std::string& set = "") {
  const ScratchFolder folder;
  const Study study = read_study(folder.write(
      "mine.toml",
      "[study]\nbase = \"butt-joint\"\n[set.mesh]\nfineness = 1.0\n[[factor]]\nname = \"h\"\nkey = "
      "\"specimen.height\"\nvalues = [1.0]\n[outputs]\nx = \"" +
          output + "\"\n" + set));
  require_outputs(study, plan_of(study), MeshCache(folder / "meshes"));
}

}  // namespace

TEST_CASE("an output that no run can have is refused with its place before the first run",
          "[study][errors]") {
  for (const auto& [output, sentence] :
       {std::pair{"bond[wall=all].wrst.x", "the summary has no \"wrst\""},
        {"bond[wall=floor].end.conversion_mean", "has no element with wall=floor"},
        {"bond", "is no number"},
        {"bond[wall=all].at_events[99].time_s", "[99] is not among them"}})
    CHECK_THROWS_WITH(look_up(output), Contains("mine.toml:10: output x") && Contains(sentence));
}

TEST_CASE("outputs that a run has are found before it is solved", "[study]") {
  for (const char* output :
       {"bond[wall=all].worst.share_of_whole_at_strength", "bond[wall=all].at_events[last].time_s",
        "cure.increments[increment=1].bottom_over_top", "chair_time_s",
        "energies_at_end.set_in_mJ * chair_time_s", "bond[wall=all].highest_p95.stress_to_strength_p95",
        "bond[wall=all].higher_while_part_filled.time_s"})
    CHECK_NOTHROW(look_up(output));
}

TEST_CASE("gaps, of which no run may have any, are looked up by their keys", "[study]") {
  const std::string debonding = "[set.solver]\nmode = \"debonding\"\n";
  for (const char* output :
       {"gaps.end.gaps[number=1].volume_nL", "gaps.end.gaps[3].where[wall=lower].area_mm2",
        "gaps.records[2].open_since_s", "gaps.threshold_um"})
    CHECK_NOTHROW(look_up(output, debonding));
  CHECK_THROWS_WITH(look_up("gaps.end.gaps[number=2].volum_nL", debonding),
                    Contains("the summary has no \"volum_nL\"") && Contains("did you mean \"volume_nL\""));
  CHECK_THROWS_WITH(look_up("gaps.end.gaps[1].volume_nL"), Contains("the summary has no \"gaps\""));
  // In a run without a gap there is no number.
  const nlohmann::ordered_json none{{"gaps", {{"end", {{"gaps", nlohmann::ordered_json::array()}}}}}};
  CHECK(std::isnan(value_at(none, "gaps.end.gaps[number=1].volume_nL")));
}
