// Which runs of a study may advance together. No outside source is needed.

#include <catch2/catch.hpp>

#include "cases/study/design/lane_classes.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;

namespace lane_classes {
namespace {

constexpr const char* shrinkage =
    "[[factor]]\nname = \"shrinkage\"\nkey = \"materials.override.conventional-paste.volumetric_shrinkage\"\n"
    "values = [0.02, 0.022, 0.024]\n";

/// Sizes of the classes, by row; 0: none.
std::vector<std::size_t> sizes(const std::string& factors, std::size_t fewest = 2) {
  const ScratchFolder scratch;
  const Study study = read_study(scratch.write(
      "s.toml", "[study]\nbase = \"butt-joint\"\n" + factors + "[outputs]\nchair = \"chair_time_s\"\n"));
  const StudyPlan plan = plan_of(study);
  const LaneClasses classes(study, plan, fewest);
  std::vector<std::size_t> found;
  for (const StudyRow& row : plan.rows) found.push_back(classes.with(row.number).size());
  return found;
}

}  // namespace

TEST_CASE("runs that differ in numbers of paste, bond and plan may advance together", "[study]") {
  CHECK(sizes(shrinkage) == std::vector<std::size_t>(3, 3));
  CHECK(sizes(shrinkage, 4) == std::vector<std::size_t>(3, 0));
  const std::string other_mesh = "[[factor]]\nname = \"h\"\nkey = \"specimen.height\"\nvalues = [1, 2]\n";
  CHECK(sizes(other_mesh + shrinkage) == std::vector<std::size_t>(6, 3));
  const std::string other_tissue =
      "[[factor]]\nname = \"f\"\nkey = \"materials.fixture\"\nvalues = [\"aluminium\", \"steel\"]\n";
  CHECK(sizes(other_tissue + shrinkage) == std::vector<std::size_t>(6, 3));
}

TEST_CASE("runs that have another's solution, or whose bond may let go, do not", "[study]") {
  const std::string strength =
      "[[factor]]\nname = \"s\"\nkey = \"bond.strength.fixture.tensile\"\nvalues = [20, 30]\n";
  CHECK(sizes(strength + shrinkage) == std::vector<std::size_t>(6, 0));
  CHECK(sizes("[set.solver]\nmode = \"debonding\"\n" + std::string(shrinkage)) ==
        std::vector<std::size_t>(3, 0));
}

TEST_CASE("a wait of nothing is in another class than a wait", "[study]") {
  const std::string wait =
      "[set.bond.stiffness_maturity]\nlaw = \"chairside-rule\"\n"
      "[[factor]]\nname = \"w\"\nkey = \"plan.increment[1].wait\"\nvalues = [0, 60, 300]\n";
  CHECK(sizes(wait) == std::vector<std::size_t>{0, 2, 2});
}

}  // namespace lane_classes
