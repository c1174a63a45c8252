#include "cases/run/profile.hpp"

#include <fmt/format.h>
#include <sys/resource.h>

#include <iterator>
#include <numeric>

namespace setstress {

namespace {

double sum_of(const std::vector<Profile::Row>& rows) {
  return std::accumulate(rows.begin(), rows.end(), 0.0,
                         [](double sum, const Profile::Row& row) { return sum + row.seconds; });
}

double peak_memory_mb() {
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  return static_cast<double>(used.ru_maxrss) / 1024;
}

}  // namespace

Profile profile_of(const Timings& t, const SecondsOutside& outside) {
  const std::vector<Profile::Row> solver{
      {"solver set-up", t.setup},        {"assembly", t.assembly},
      {"linear solves", t.linear_solve}, {"bond and filling update", t.bond_update},
      {"light and cure", t.cure},        {"stress fields", t.frames}};
  Profile profile{.rows = {{"mesh", outside.mesh}},
                  .whole = outside.whole,
                  .frames_beside = outside.frames_beside,
                  .peak_memory = peak_memory_mb(),
                  .counts = t};
  profile.rows.insert(profile.rows.end(), solver.begin(), solver.end());
  profile.rows.push_back({"statistics", outside.statistics});
  profile.rows.push_back({"files and picture", outside.files});
  profile.rows.push_back({"the rest", outside.whole - sum_of(profile.rows)});
  return profile;
}

std::string profile_text(const Profile& profile) {
  std::string text;
  auto out = std::back_inserter(text);
  const double percent = profile.whole > 0 ? 100 / profile.whole : 0;
  for (const Profile::Row& row : profile.rows)
    fmt::format_to(out, "{:<24} {:>9.2f} s {:>6.1f} %\n", row.what, row.seconds, percent * row.seconds);
  fmt::format_to(out, "{:<24} {:>9.2f} s\n", "whole", profile.whole);
  fmt::format_to(out, "{:<24} {:>9.2f} s   beside the rest, not part of the whole\n", "frames, in background",
                 profile.frames_beside);
  fmt::format_to(out, "{:<24} {:>9.0f} MB\n", "peak memory", profile.peak_memory);
  const Timings& t = profile.counts;
  fmt::format_to(
      out,
      "{} steps ({} rejected), {} balance iterations, {} linear solves with {} iterations (at most "
      "{} in one), {} coarse factorisations, direct solver stepped in {} times\n",
      t.steps, t.rejected_steps, t.equilibrium_iterations, t.linear_solves, t.linear_iterations,
      t.most_linear_iterations, t.coarse_factorisations, t.direct_fallbacks);
  return text;
}

}  // namespace setstress
