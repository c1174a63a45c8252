#pragma once
// What waiting does, for people and programs: the shortest waits, the shortest chair time, the whole curves.

#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

#include "cases/wait/wait_curve.hpp"
#include "viz/charts/chart.hpp"

namespace setstress {

/// The curve of one plan under one law.
struct LawWaits {
  std::string law;
  WaitCurve curve;
  /// Of the shortest wait, or where there is none of the best: the ratio of a part of the wall that was
  /// filled, where that is limited and was higher.
  std::optional<PartFilled> higher_part = {};
  std::optional<double> energy_bound = {};  ///< of the same wait: LargestValue::energy_bound
};

/// One plan. Chair time is from the cured bond to the last light off.
struct PlanWaits {
  std::string name, title;
  bool invented = false;
  std::string mode;            ///< "intact" or "debonding"
  double written_wait;         ///< as the case file has it [s]
  double chair_time;           ///< without any wait there [s]
  double chair_time_per_wait;  ///< waits that the entry stands for [-]
  std::vector<LawWaits> laws;
  int facets = 0;  ///< of the wall that is limited
  int runs = 0;
  std::vector<std::string> failures;
  std::string coarse_mesh = {};                 ///< that the mesh is too coarse for this; "" where it is not
  std::vector<std::string> cure_warnings = {};  ///< as `check` gives them of the plan as written
  std::set<std::string> composites = {}, flowing = {};  ///< names with that of the plan; those that flow
  bool under_cured = false;  ///< never named shortest: its loads are low for the wrong reason
  std::string mirror = {};   ///< that the limited wall has a mirror image; "" where that does not matter
};

/// Everything, with the limit and how it was searched; units in the key names, areas as shares.
nlohmann::ordered_json waits_json(const std::vector<PlanWaits>& plans, const WallLimit& limit, int before,
                                  const WaitRange& range);

/// The same for people.
std::string waits_text(const std::vector<PlanWaits>& plans, const WallLimit& limit, int before,
                       const WaitRange& range);

/// All curves: one line a plan, law and wait.
std::string waits_csv(const std::vector<PlanWaits>& plans, const WallLimit& limit);

/// One plan's curves, a line a law, with the limit across. Throws std::invalid_argument where no wait could
/// be solved.
Chart waits_chart(const PlanWaits& plan, const WallLimit& limit, int before);

}  // namespace setstress
