// The table of seconds must account for all of them.

#include <catch2/catch.hpp>
#include <numeric>

#include "cases/run/runner.hpp"
#include "tests/cases/scratch_case.hpp"

namespace setstress {

TEST_CASE("the rows of a profile add up to the whole", "[cases]") {
  const Timings solver{
      .assembly = 2, .setup = 1, .linear_solve = 5, .bond_update = 0.5, .cure = 0.25, .frames = 0.5};
  const Profile profile =
      profile_of(solver, {.mesh = 3, .statistics = 0.75, .files = 2, .whole = 16, .frames_beside = 100});
  const double sum = std::accumulate(profile.rows.begin(), profile.rows.end(), 0.0,
                                     [](double s, const Profile::Row& row) { return s + row.seconds; });
  CHECK(sum == Approx(profile.whole).epsilon(1e-12));
  CHECK(profile.rows.back().what == "the rest");
  CHECK(profile.rows.back().seconds == Approx(1.0));
  CHECK(profile.peak_memory > 1);
  const std::string text = profile_text(profile);
  for (const char* word : {"mesh", "assembly", "set-up", "linear solves", "bond", "files", "rest", "whole",
                           "memory", "beside the rest, not part of the whole"})
    CHECK_THAT(text, Catch::Contains(word));
}

}  // namespace setstress
