#include <catch2/catch.hpp>

#include "cases/lesson/wall_history.hpp"
#include "cases/lesson/wording.hpp"
#include "tests/scratch_folder.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/files/write_file.hpp"

using namespace setstress;

// A first thin layer may load its part of a wall more than the whole wall ever is: it is not the wall's
// number.
TEST_CASE("a wall is followed from when all of it is filled", "[lesson]") {
  const ScratchFolder scratch;
  write_file(scratch / ResultLayout::walls,
             "time_s,event,wall,substrate,area_mm2,placed_area_mm2,stress_to_strength_mean\n"
             "10,\"\",floor,all,2,0,\n"
             "20,\"light on\",floor,all,2,1,3.5\n"
             "30,\"\",floor,all,2,2,0.5\n"
             "30,\"\",floor,enamel,1,1,9\n"
             "30,\"\",axial,all,1,1,8\n"
             "40,\"light off\",floor,all,2,2,0.75\n");
  const std::vector<WallInstant> floor = whole_wall_history(scratch.path(), "floor");
  REQUIRE(floor.size() == 2);
  CHECK(floor[0].time == 30);
  CHECK(floor[0].mean_ratio == 0.5);
  CHECK(floor[1].mean_ratio == 0.75);
}

TEST_CASE("a table without the columns of walls.csv is refused by name", "[lesson]") {
  const ScratchFolder scratch;
  CHECK_THROWS_WITH(whole_wall_history(scratch.path(), "floor"), Catch::Contains("no such file"));
  write_file(scratch / ResultLayout::walls, "time_s,wall\n");
  CHECK_THROWS_WITH(whole_wall_history(scratch.path(), "floor"),
                    Catch::Contains("lacks the column substrate"));
  const char* const columns = "time_s,wall,substrate,area_mm2,placed_area_mm2,stress_to_strength_mean\n";
  write_file(scratch / ResultLayout::walls, std::string(columns) + "30,floor,all,2\n");
  CHECK_THROWS_WITH(whole_wall_history(scratch.path(), "floor"),
                    Catch::Contains("walls.csv:2: has 4 cells; must have 6"));
  write_file(scratch / ResultLayout::walls, std::string(columns) + "30,floor,all,2,2x,1\n");
  CHECK_THROWS_WITH(whole_wall_history(scratch.path(), "floor"),
                    Catch::Contains("walls.csv:2: placed_area_mm2 is \"2x\"; must be a number"));
}

TEST_CASE("mirror walls are spoken of as one", "[lesson]") {
  CHECK(spoken_wall("side walls") == "side walls");
  CHECK(spoken_wall("axial") == "axial wall");
  CHECK(spoken_wall("pulpal floor") == "pulpal floor");
}
