// A picture tells the numbers of the tables, not others of its own.

#include <catch2/catch.hpp>

#include "tests/scratch_folder.hpp"
#include "viz/pictures/told_numbers.hpp"

using namespace setstress;

TEST_CASE("numbers of an instant are those of the whole bond in walls.csv", "[viz][pictures]") {
  const ScratchFolder folder;
  CHECK(!told_numbers(folder.path(), 5));
  folder.write(
      "walls.csv",
      "time_s,event,wall,substrate,largest_gap_um,share_of_whole_at_strength,share_of_whole_debonded\n"
      "5,\"light on, 1000 mW/cm2\",floor,all,1,0.9,0.8\n"
      "5,\"light on, 1000 mW/cm2\",all,enamel,2,0.7,0.6\n"
      "5,\"light on, 1000 mW/cm2\",all,all,8.5,0.07,0.03\n"
      "6,\"\",all,all,,,\n");
  const auto told = told_numbers(folder.path(), 5.0000001);
  REQUIRE(told);
  CHECK(told->at_strength == 0.07);
  CHECK(told->debonded == 0.03);
  CHECK(told->largest_gap == 8.5);
  REQUIRE(told_numbers(folder.path(), 6));
  CHECK(told_numbers(folder.path(), 6)->at_strength == 0);  // nothing placed yet
  CHECK(!told_numbers(folder.path(), 7));
}

TEST_CASE("a picture marks areas where the mesh of the result is too coarse for them", "[viz][pictures]") {
  const ScratchFolder folder;
  CHECK_FALSE(told_too_coarse(folder.path()));
  const auto with = [&](const char* points) {
    folder.write("summary.json",
                 std::string(R"({"bond": [{"wall": "floor", "substrate": "all", "averaging_points_mean": )") +
                     points + R"(}, {"wall": "all", "substrate": "all"}]})");
    return told_too_coarse(folder.path());
  };
  CHECK(with("2.1"));
  CHECK_FALSE(with("7.3"));
}

TEST_CASE("the worst instant is that of the summary", "[viz][pictures]") {
  const ScratchFolder folder;
  CHECK(!told_worst_time(folder.path()));
  folder.write("summary.json", R"({"bond": [{"wall": "floor", "substrate": "all", "worst": {"time_s": 3.0}},
                                            {"wall": "all", "substrate": "all", "worst": {"time_s": 99.5}}]})");
  CHECK(told_worst_time(folder.path()) == 99.5);
}
