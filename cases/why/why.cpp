#include "cases/why/why.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/pose/pose.hpp"
#include "cases/words/bond_words.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

CauseSet all_of(const std::vector<Cause>& causes) {
  return (CauseSet{1} << causes.size()) - 1;
}

bool acts(CauseSet set, std::size_t cause) {
  return (set >> cause & 1U) != 0;
}

/// Whether something that the two have otherwise is to be made equal.
bool is_equalised(const std::vector<Cause>& causes, CauseSet acting) {
  for (std::size_t c = 0; c < causes.size(); ++c)
    if (!causes[c].is_effect && !acts(acting, c)) return true;
  return false;
}

/// Runs whose numbers differ only where `as_second` matters.
WhyRun plain(const std::vector<Cause>& causes, WhyRun run) {
  if (!is_equalised(causes, run.acting)) run.as_second = false;
  return run;
}

using Walls = std::vector<WallNumbers>;

std::optional<double> number_of(const Walls& walls, const std::string& name, const WhyMeasure& measure) {
  const auto wall = std::ranges::find(walls, name, &WallNumbers::wall);
  return wall == walls.end() ? std::nullopt : measure.of(*wall);
}

/// Pairs of walls that are mirror images in any of the runs, as `compare` tells them.
ordered_json mirror_pairs(const std::vector<ordered_json>& summaries) {
  ordered_json pairs = ordered_json::array();
  for (const ordered_json& summary : summaries)
    for (const ordered_json& pair : summary.at("mirror_walls"))
      if (std::ranges::find(pairs, pair) == pairs.end()) pairs.push_back(pair);
  return pairs;
}

/// Takes one number of one wall apart.
class Account {
 public:
  Account(const std::vector<Cause>& causes, const std::vector<WhyRun>& asked, const std::vector<Walls>& walls)
      : causes_(causes), asked_(asked), walls_(walls) {}

  /// Empty where one of the runs has no such number.
  [[nodiscard]] std::optional<WhyPart> of(const WallNumbers& wall, std::size_t which,
                                          const WhyMeasure& measure) const {
    std::vector<double> numbers;
    for (const Walls& each : walls_) {
      const auto number = number_of(each, wall.wall, measure);
      if (!number) return std::nullopt;
      numbers.push_back(*number);
    }
    const auto run = [&](const WhyRun& wanted) {
      const auto found = std::ranges::find(asked_, plain(causes_, wanted));
      return numbers.at(static_cast<std::size_t>(found - asked_.begin()));
    };
    const CauseSet all = all_of(causes_);
    WhyPart part{.wall = wall.wall,
                 .wall_words = wall_in_words(wall),
                 .measure = which,
                 .first = run({false, all, false}),
                 .second = run({true, all, false}),
                 .of_causes = {},
                 .of_placing = 0,
                 .without = {},
                 .differences = {}};
    for (CauseSet set = 0; set <= all; ++set) part.differences.push_back(difference(causes_, set, run));
    part.of_causes =
        shapley_values(static_cast<int>(causes_.size()), [&](CauseSet set) { return part.differences[set]; });
    part.of_placing = part.differences.front();
    for (std::size_t c = 0; c < causes_.size(); ++c) {
      const CauseSet rest = all & ~(CauseSet{1} << c);
      part.without.push_back(
          causes_[c].is_effect ? std::optional(std::pair(run({false, rest, false}), run({true, rest, false})))
                               : std::nullopt);
    }
    return part;
  }

 private:
  const std::vector<Cause>& causes_;
  const std::vector<WhyRun>& asked_;
  const std::vector<Walls>& walls_;
};

}  // namespace

std::vector<WhyMeasure> why_measures(const std::string& mode) {
  if (mode == "debonding")
    return {{"debonded", "let go at the end", true, true, [](const WallNumbers& w) { return w.debonded; }},
            {"softened", "begun to lose strength, or let go", true, true,
             [](const WallNumbers& w) { return w.softened; }},
            {"strength_lost", "strength lost, mean", true, false,
             [](const WallNumbers& w) { return w.strength_lost; }}};
  return {{"highest_p95", "highest ratio of stress to strength (95th percentile by area)", false, true,
           [](const WallNumbers& w) { return w.highest ? std::optional(w.highest->ratio) : std::nullopt; }},
          {"at_strength", "largest area at strength", true, true,
           [](const WallNumbers& w) { return w.at_strength; }},
          {"highest_mean", "highest mean ratio of stress to strength", false, false,
           [](const WallNumbers& w) { return w.highest_mean; }}};
}

double difference(const std::vector<Cause>& causes, CauseSet acting,
                  const std::function<double(const WhyRun&)>& number) {
  const auto as = [&](bool second) {
    return number({true, acting, second}) - number({false, acting, second});
  };
  return is_equalised(causes, acting) ? 0.5 * (as(false) + as(true)) : as(false);
}

WhyRuns::WhyRuns(const Case& first, const Case& second, const MadeRuns& served_by)
    : first_(first.name), second_(second.name) {
  if (first.solver.mode != second.solver.mode)
    throw CaseError(
        fmt::format("{} and {} are run in different modes; say --mode for both", first_, second_));
  causes_ = causes_of(first, second);
  const auto side = [&](const Case& input) {
    WhySide of{input, {}};
    const bool one = input.materials.composites.size() == 1;
    of.main_composite =
        one ? input.materials.composites.begin()->first : main_composite_of(input, mesh_of(input));
    return of;
  };
  const WhySide a = side(first), b = side(second);
  std::vector<Case> cases;
  for (CauseSet set = 0; set <= all_of(causes_); ++set)
    for (const bool plan : {false, true})
      for (const bool as : {false, true}) {
        const WhyRun run = plain(causes_, {plan, set, as});
        if (std::ranges::find(asked_, run) != asked_.end()) continue;
        asked_.push_back(run);
        cases.push_back(made(run, a, b));
      }
  runs_.emplace(std::move(cases), served_by);
}

Case WhyRuns::made(const WhyRun& run, const WhySide& first, const WhySide& second) const {
  Case input = run.second_plan ? second.input : first.input;
  for (std::size_t c = 0; c < causes_.size(); ++c)
    if (!acts(run.acting, c)) causes_[c].take_away(input, run.as_second ? second : first);
  return input;
}

Why WhyRuns::solve(const SharedRuns::Watch& watch) const {
  const std::vector<ordered_json> summaries = runs_->summaries(watch);
  const ordered_json pairs = mirror_pairs(summaries);
  std::vector<Walls> walls;
  for (const ordered_json& summary : summaries) walls.push_back(wall_numbers(summary, pairs));
  Why why{.first = first_,
          .second = second_,
          .mode = summaries.front().at("mode"),
          .causes = causes_,
          .parts = {},
          .solutions = runs_->solutions(),
          .cases = runs_->different()};
  why.coarse = std::ranges::any_of(summaries, [](const auto& s) { return !coarse_mesh_sentence(s).empty(); });
  const std::vector<WhyMeasure> measures = why_measures(why.mode);
  const Account account(causes_, asked_, walls);
  for (std::size_t m = 0; m < measures.size(); ++m)
    for (const WallNumbers& wall : walls.front())
      if (auto part = account.of(wall, m, measures[m])) why.parts.push_back(std::move(*part));
  return why;
}

}  // namespace setstress
