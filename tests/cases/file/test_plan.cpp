// What the plan of a case file turns into. Facts about our own case format; no source.

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "tests/cases/scratch_case.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {

const std::string first_increment =
    "layer = \"horizontal\"\nthickness = 1.0\n[[plan.increment]]\nwait = \"1 min\"\n";

Case plan_of(const ScratchFolder& folder, const std::string& increments) {
  return read_case(folder.write("plan.toml", changed(first_increment, increments)));
}

}  // namespace

TEST_CASE("oblique layers lie where the preparation lies", "[cases]") {
  const ScratchFolder folder;
  const std::string oblique = "layer = \"oblique\"\nthickness = 1.0\n";
  const std::string middle = changed(first_increment, oblique);
  std::string moved = middle;
  moved.replace(moved.find("width = 3.0"), 11, "width = 3.0\noffset_y = 0.7");
  const auto at_middle = read_case(folder.write("middle.toml", middle)).plan.layout;
  const auto at_offset = read_case(folder.write("moved.toml", moved)).plan.layout;
  REQUIRE(at_offset.size() == at_middle.size());
  for (std::size_t k = 0; k < at_offset.size(); ++k) {
    CHECK(at_middle[k].point.y() == 0);
    CHECK(at_offset[k].point.y() == 0.7);
    CHECK(at_offset[k].point.z() == at_middle[k].point.z());
  }
  // The first layer meets the buccal wall, which leans outwards by 3 degrees, 1 mm above the floor at z = 4.
  const double wall = 1.5 + std::tan(3 * 3.14159265358979 / 180);
  CHECK(at_middle[0].normal.dot(Eigen::Vector3d(0, wall, 5) - at_middle[0].point) == Approx(0).margin(1e-12));
}

TEST_CASE("layers above a level plane start from it, above a tilted one they are refused", "[cases]") {
  const ScratchFolder folder;
  const std::string then =
      "[[plan.increment]]\nlayer = \"horizontal\"\nthickness = 0.6\n[[plan.increment]]\n";
  const Case level = plan_of(folder, "layer = \"plane\"\npoint = [0, 0, 4.8]\nnormal = [0, 0, 2]\n" + then);
  REQUIRE(level.plan.layout.size() == 2);
  CHECK(level.plan.layout[1].point.z() == Approx(5.4));
  const std::string tilted = "layer = \"plane\"\npoint = [0, 0, 4.8]\nnormal = [0, 0.1, 2]\n";
  CHECK_THROWS_WITH(plan_of(folder, tilted + then),
                    Contains("plan.increment[2].layer is \"horizontal\" above a tilted plane"));
  CHECK_NOTHROW(plan_of(folder, tilted + "[[plan.increment]]\n"));
}

TEST_CASE("a last layer that is a sliver is told, with its thickness", "[cases]") {
  const ScratchFolder folder;
  const auto notes = [&](const std::string& thickness) {
    return plan_of(folder, "layer = \"horizontal\"\nrepeat = true\nthickness = " + thickness + "\n")
        .plan.notes;
  };
  REQUIRE(notes("0.98").size() == 1);  // 2 mm deep
  CHECK_THAT(notes("0.98").front(), Contains("the last of 3 layers is 0.04 mm thick, the others 0.98 mm"));
  CHECK(notes("1.0").empty());
  CHECK(notes("0.8").empty());  // leaves 0.4 mm, half of it
}

TEST_CASE("chair time ends when the last light goes off or the last increment lies in place", "[cases]") {
  const ScratchFolder folder;
  const std::string lit = "layer = \"horizontal\"\nthickness = 1.0\n[[plan.increment]]\nwait = \"1 min\"\n";
  CHECK(plan_of(folder, lit).plan.chair_time == 45 + 60 + 20 + 25);
  CHECK(plan_of(folder, lit + "light = []\n").plan.chair_time == 45 + 60 + 20);
}
