#include "cases/compare/verdict.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "cases/words/bond_words.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace {

// Below these a difference is within what the mesh alone can change, and is not called one.
constexpr double clear_share = 0.05;   // of a wall's area, or relative to the larger value
constexpr double clear_ratio = 0.05;   // of a stress-to-strength ratio, absolute
constexpr double clear_volume = 1e-3;  // of a gap [mm3]: a wall of 10 mm2 open by 0.1 um
constexpr double clear_time = 1.0;     // of chair time [s]

constexpr double nearly_nothing = 0.1;  // of a ratio: nothing is told in per cent of less
constexpr double most_times = 10;       // nor a change by more than this

/// What is compared of a wall.
struct Measure {
  enum class Kind { ratio, share, volume } kind;
  std::function<std::optional<double>(const WallNumbers&)> of;
};

const Measure load{Measure::Kind::ratio, [](const WallNumbers& w) {
                     return w.highest ? std::optional(w.highest->ratio) : std::nullopt;
                   }};
const Measure let_go{Measure::Kind::share, [](const WallNumbers& w) { return w.debonded; }};
const Measure softened{Measure::Kind::share, [](const WallNumbers& w) { return w.softened; }};
const Measure strength_lost{Measure::Kind::share, [](const WallNumbers& w) { return w.strength_lost; }};
const Measure gap{Measure::Kind::volume, [](const WallNumbers& w) { return w.gap_volume; }};

std::string said(const Measure& measure, double value) {
  switch (measure.kind) {
    case Measure::Kind::ratio:
      return fmt::format("{:.2f}", value);
    case Measure::Kind::share:
      return fmt::format("{:.0f} %", 100 * value);
    case Measure::Kind::volume:
      return fmt::format("{:.3f} mm3", value);
  }
  throw std::logic_error("a measure of a wall without words");
}

/// How a wall differs between two results.
struct WallDifference {
  const WallNumbers *a, *b;
  double first, second;  ///< the measure in either
  bool clear;
  [[nodiscard]] double size() const { return std::abs(second - first); }
};

bool is_clear(const Measure& measure, double first, double second) {
  const double size = std::abs(second - first), larger = std::max(std::abs(first), std::abs(second));
  switch (measure.kind) {
    case Measure::Kind::ratio:
      return size >= clear_ratio && size >= clear_share * larger;
    case Measure::Kind::share:
      return size >= clear_share;
    case Measure::Kind::volume:
      return size >= clear_volume && size >= clear_share * larger;
  }
  throw std::logic_error("a measure of a wall without a threshold");
}

/// Of every wall that both have a number of, the largest difference first.
std::vector<WallDifference> wall_differences(const ComparedSide& a, const ComparedSide& b,
                                             const Measure& measure) {
  std::vector<WallDifference> all;
  for (const WallNumbers& wall : a.walls) {
    const auto other = std::ranges::find(b.walls, wall.wall, &WallNumbers::wall);
    if (wall.wall == "all" || other == b.walls.end()) continue;
    const auto first = measure.of(wall), second = measure.of(*other);
    if (first && second) all.push_back({&wall, &*other, *first, *second, is_clear(measure, *first, *second)});
  }
  std::ranges::stable_sort(all, std::ranges::greater{}, &WallDifference::size);
  return all;
}

bool is_clear(const std::vector<WallDifference>& all) {
  return !all.empty() && all.front().clear;
}

/// "The floor differs most: ", "The buccal and lingual walls (mirror images, judged together) differ most: "
std::string most_words(const WallDifference& d) {
  return fmt::format("The {} {} most: ", wall_in_words(*d.a),
                     d.a->mirrored ? "(mirror images, judged together) differ" : "differs");
}

/// ": 37 % lower", where that can be said.
std::string change_words(const WallDifference& d, bool coarse) {
  const double smaller = std::min(d.first, d.second), larger = std::max(d.first, d.second);
  if (coarse || smaller < nearly_nothing || larger > most_times * smaller) return "";
  return fmt::format(": {:.0f} % {}", 100 * std::abs(d.second - d.first) / d.first,
                     d.second < d.first ? "lower" : "higher");
}

/// The wall that clearly goes the other way than the leading one, if there is one.
std::string other_way_sentence(const std::vector<WallDifference>& all, const Measure& measure) {
  for (const WallDifference& d : all) {
    const bool opposite = (d.second - d.first) * (all.front().second - all.front().first) < 0;
    if (d.clear && opposite)
      return fmt::format(" The {} {} the other way, from {} to {}.", wall_in_words(*d.a),
                         d.a->mirrored ? "go" : "goes", said(measure, d.first), said(measure, d.second));
  }
  return "";
}

std::string load_words(const WallDifference& d, const ComparedSide& a, const ComparedSide& b) {
  return fmt::format(
      "the stress-to-strength ratio (95th percentile by area; 1: strength reached) is at its highest {:.2f} "
      "in "
      "{} ({} after the bond was cured) and {:.2f} in {} ({}){}.",
      d.first, a.name, duration_text(d.a->highest->time), d.second, b.name, duration_text(d.b->highest->time),
      change_words(d, a.coarse || b.coarse));
}

/// A step of letting_go_sentence. In the words, {0} and {2} are the values, {1} and {3} the sides, {4} and
/// {5} the largest gaps [um].
struct Step {
  const Measure* measure;
  const char *of_one_wall, *of_two_walls;
};
constexpr Step steps[] = {
    {&let_go, "{0} of it has let go in {1} (largest gap {4:.1f} um) and {2} in {3} ({5:.1f} um).",
     "{0} of them has let go in {1} (largest gap {4:.1f} um) and {2} in {3} ({5:.1f} um)."},
    {&softened, "{0} of it has begun to lose strength in {1} and {2} in {3}, while about as much has let go.",
     "{0} of them has begun to lose strength in {1} and {2} in {3}, while about as much has let go."},
    {&strength_lost,
     "it has lost {0} of its strength in {1} and {2} in {3}, while about as much has begun to.",
     "they have lost {0} of their strength in {1} and {2} in {3}, while about as much has begun to."},
    {&gap, "its gap holds {0} in {1} and {2} in {3}, while about as much has let go.",
     "their gaps hold {0} in {1} and {2} in {3}, while about as much has let go."}};

std::string step_sentence(const Step& step, const std::vector<WallDifference>& all, const ComparedSide& a,
                          const ComparedSide& b) {
  const WallDifference& d = all.front();
  const char* words = d.a->mirrored ? step.of_two_walls : step.of_one_wall;
  return most_words(d) + "at the end " +
         fmt::format(fmt::runtime(words), said(*step.measure, d.first), a.name, said(*step.measure, d.second),
                     b.name, d.a->largest_gap.value_or(0), d.b->largest_gap.value_or(0)) +
         other_way_sentence(all, *step.measure);
}

bool nothing_softened(const ComparedSide& side) {
  return std::ranges::all_of(side.walls,
                             [](const WallNumbers& wall) { return wall.softened.value_or(0) == 0; });
}

}  // namespace

std::string load_sentence(const ComparedSide& a, const ComparedSide& b) {
  const auto all = wall_differences(a, b, load);
  if (all.empty()) return fmt::format("{} and {} have no wall in common to compare.", a.name, b.name);
  const WallDifference& d = all.front();
  if (d.clear) return most_words(d) + load_words(d, a, b) + other_way_sentence(all, load);
  return fmt::format(
      "No clear difference in load between {} and {}: no wall's highest stress-to-strength ratio (95th "
      "percentile by area) differs by both {:.0f} % and {} (largest: the {}, {:.2f} against {:.2f}).",
      a.name, b.name, 100 * clear_share, clear_ratio, wall_in_words(*d.a), d.first, d.second);
}

std::string letting_go_sentence(const ComparedSide& a, const ComparedSide& b) {
  for (const Step& step : steps)
    if (const auto all = wall_differences(a, b, *step.measure); is_clear(all))
      return step_sentence(step, all, a, b);
  if (nothing_softened(a) && nothing_softened(b))
    return fmt::format("Nothing lets go or begins to in {} or {}. ", a.name, b.name) + load_sentence(a, b);
  if (wall_differences(a, b, let_go).empty())
    return fmt::format("{} and {} have no wall in common to compare.", a.name, b.name);
  return fmt::format(
      "No clear difference between {} and {} in what lets go: no wall differs by {:.0f} % of its area in "
      "what "
      "has let go or begun to lose strength, nor clearly in strength lost or gap.",
      a.name, b.name, 100 * clear_share);
}

std::string whole_bond_sentence(const ComparedSide& a, const ComparedSide& b, bool debonding) {
  const auto share = [&](const ComparedSide& side) -> std::optional<double> {
    const auto whole = std::ranges::find(side.walls, "all", &WallNumbers::wall);
    if (whole == side.walls.end()) return std::nullopt;
    return debonding ? whole->debonded : whole->at_strength;
  };
  const auto first = share(a), second = share(b);
  if (!first || !second) return "";
  const bool alike = !a.coarse && !b.coarse && std::abs(*second - *first) < clear_share;
  return fmt::format("Of the whole bond, {:.0f} % {} in {} and {:.0f} % in {}{}.", 100 * *first,
                     debonding ? "has let go at the end" : "is at its strength at the worst instant", a.name,
                     100 * *second, b.name, alike ? "; no clear difference" : "");
}

std::string energy_sentence(const ComparedSide& a, const ComparedSide& b) {
  const auto bound = [](const ComparedSide& side) -> std::optional<double> {
    const auto whole = std::ranges::find(side.walls, "all", &WallNumbers::wall);
    return whole == side.walls.end() ? std::nullopt : whole->energy_bound;
  };
  const auto first = bound(a), second = bound(b);
  if (!first || !second) return "";
  return fmt::format(
      "By energy: stored is {} what parting the whole bond takes in {} and {} that in {}; below 1 not all of "
      "it "
      "can come "
      "off at one go, from 1 on --mode debonding tells what does.",
      energy_share_text(*first), a.name, energy_share_text(*second), b.name);
}

std::string age_sentence(const ComparedSide& a, const ComparedSide& b) {
  if (std::abs(a.end_time - b.end_time) < clear_time) return "";
  return fmt::format("The end is read {} after the bond was cured in {} and {} in {}.",
                     duration_text(a.end_time), a.name, duration_text(b.end_time), b.name);
}

std::string chair_sentence(const ComparedSide& a, const ComparedSide& b) {
  const double first = a.chair_time, second = b.chair_time;
  if (std::abs(second - first) < clear_time)
    return fmt::format("Both take {} of chair time.", duration_text(first));
  return fmt::format("{} takes {} {} chair time ({} against {}).", b.name,
                     duration_text(std::abs(second - first)), second > first ? "more" : "less",
                     duration_text(second), duration_text(first));
}

}  // namespace setstress
