#pragma once
// Why two plans load a wall differently: the difference taken apart, exactly, into causes and placing.
//
// Let D(S) be what a number of a wall is in the second plan minus what it is in the first, when the causes in
// S act as they do in the two cases and the others are taken away from both (causes.hpp). Where something
// that the two have otherwise is taken away, D(S) is the mean of both having the first one's and both having
// the second one's. D(all) is the difference that is to be explained. D(none) is what is left of it when
// every cause is taken away: the part of placing, that is layers, order, waits and exposures. The parts of
// the causes are the Shapley values of the game D(S) - D(none). So the parts add up to the difference; a
// cause that acts in neither, or alike where it makes no difference, gets 0; and with the two plans swapped
// every part changes its sign.

#include <functional>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "cases/why/causes.hpp"
#include "cases/why/shapley.hpp"
#include "cases/why/shared_runs.hpp"
#include "cases/words/wall_numbers.hpp"

namespace setstress {

/// A number of a wall that is taken apart.
struct WhyMeasure {
  std::string key;    ///< "highest_p95"
  std::string words;  ///< "highest ratio of stress to strength (95th percentile by area)"
  bool is_share;      ///< of the whole wall, rather than a ratio
  bool needs_fine;    ///< a mesh too coarse for percentiles cannot give it
  std::function<std::optional<double>(const WallNumbers&)> of;
};
/// Those of a mode, the one that people are told first. `mode` as in a summary.
std::vector<WhyMeasure> why_measures(const std::string& mode);

/// One number of one wall.
struct WhyPart {
  std::string wall;               ///< "floor"
  std::string wall_words;         ///< "floor", "buccal and lingual walls"
  std::size_t measure;            ///< among why_measures
  double first, second;           ///< in the two plans
  std::vector<double> of_causes;  ///< by cause, Shapley values
  double of_placing;              ///< D(none)
  /// By cause: what the number is in either plan with this cause alone taken away; of a thing that they have
  /// otherwise empty.
  std::vector<std::optional<std::pair<double, double>>> without;
  std::vector<double> differences;  ///< D(S), by S
};

struct Why {
  std::string first, second;  ///< names of the plans
  std::string mode;           ///< as in a summary
  bool coarse = false;        ///< a mesh too coarse for percentiles
  std::vector<Cause> causes;
  std::vector<WhyPart> parts;  ///< by measure, then wall, the whole bond last
  int solutions = 0, cases = 0;
};

/// One run that is asked for: the plan of a side, the causes that act in it, and whose things the others
/// have.
struct WhyRun {
  bool second_plan;
  CauseSet acting;
  bool as_second;
  bool operator==(const WhyRun&) const = default;
};
/// D(S), where `number` gives what each run comes to.
double difference(const std::vector<Cause>& causes, CauseSet acting,
                  const std::function<double(const WhyRun&)>& number);

class WhyRuns {
 public:
  /// Names are those of the cases; what `served_by` serves is not solved again. Throws CaseError, where one
  /// plan does not fit the other's tooth or the two are run in different modes; as pose().
  WhyRuns(const Case& first, const Case& second, const MadeRuns& served_by = {});

  [[nodiscard]] int solutions() const { return runs_->solutions(); }
  [[nodiscard]] const std::vector<Cause>& causes() const { return causes_; }
  /// Throws RunsStopped, or as solve_case().
  [[nodiscard]] Why solve(const SharedRuns::Watch& watch) const;

 private:
  [[nodiscard]] Case made(const WhyRun& run, const WhySide& first, const WhySide& second) const;

  std::string first_, second_;
  std::vector<Cause> causes_;
  std::vector<WhyRun> asked_;
  std::optional<SharedRuns> runs_;
};

}  // namespace setstress
