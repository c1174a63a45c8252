#pragma once
// One case with many waits: the mesh and what follows from it alone are made once, and where the bond holds,
// a solution serves all that differ from it in nothing but strength (solver/run/kept_bond.hpp).

#include <functional>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "cases/file/case.hpp"
#include "cases/wait/kept_answers.hpp"
#include "cases/wait/maturity_choices.hpp"
#include "cases/wait/wait_curve.hpp"
#include "cases/wait/wall_limit.hpp"
#include "solver/model/model.hpp"
#include "solver/run/kept_bond.hpp"

namespace setstress {

class SharedMesh;

class WaitRuns {
 public:
  /// Called at every step of a run: share of that run done [-] and its wait [s]. False: stop.
  using Watch = std::function<bool(double share, double wait)>;

  /// `entry` of [[plan.increment]] (1, 2, ...) is the one that waits. `kept` (null: none; must outlive this)
  /// has what was solved before and is given what is solved. Meshes. Throws CaseError where the case, the
  /// entry or the wall is at fault.
  WaitRuns(const Case& input, const WallLimit& limit, int entry, std::vector<MaturityChoice> laws,
           Watch watch, KeptAnswers* kept = nullptr);

  /// Largest value over the whole run with that wait, under law `law`; empty where the run failed. Throws
  /// WaitStopped.
  std::optional<double> value(double wait, std::size_t law);

  /// Of a wait that value() was asked for: where the ratio is limited and was higher while the wall was
  /// filled in part, that.
  [[nodiscard]] std::optional<PartFilled> higher_part(double wait, std::size_t law) const;
  /// Of a wait that value() was asked for, where the bond holds: LargestValue::energy_bound.
  [[nodiscard]] std::optional<double> energy_bound(double wait, std::size_t law) const;
  /// What coarse_mesh_sentence (bond_words.hpp) says of this mesh; "" where it is fine enough.
  [[nodiscard]] std::string coarse_mesh() const;

  /// That one run is likely to take on two cores [s].
  [[nodiscard]] double expected_seconds() const;
  /// Runs made; fewer than waits where one serves several.
  [[nodiscard]] int solved() const { return solved_; }
  [[nodiscard]] std::size_t answers() const { return known_.size(); }  ///< waits and laws that are known
  /// What runs that failed said.
  [[nodiscard]] const std::vector<std::string>& failures() const { return failures_; }
  [[nodiscard]] const std::vector<MaturityChoice>& laws() const { return laws_; }
  /// Facets of the part of the bond that is limited.
  [[nodiscard]] int facets() const;
  /// Cure of the plan as written, as `check` reports it: {"cure": ...}.
  [[nodiscard]] const nlohmann::ordered_json& cure() const { return cure_; }

 private:
  void see(const Frame& frame, std::optional<double> stored, LargestValue& largest) const;
  void keep(double wait, std::size_t law, const LargestValue& largest);
  void solve(double wait, const FrameSink& see);
  void judge(double wait, std::size_t law);

  Case input_;
  WallLimit limit_;
  int entry_;
  std::vector<MaturityChoice> laws_;
  Watch watch_;
  Model model_;
  std::shared_ptr<const SharedMesh> shared_;  ///< of the mesh
  std::optional<WallReport> report_;          ///< of the mesh
  std::optional<KeptBond> kept_;              ///< the last solution
  std::vector<double> stored_;                ///< energy by frame of the last solution [mJ]
  KeptAnswers* answers_on_disk_;              ///< may be null
  std::string question_;                      ///< sum_of_question()
  std::map<std::pair<double, std::size_t>, std::optional<LargestValue>> known_;  ///< by wait and law
  int solved_ = 0;
  std::vector<std::string> failures_;
  nlohmann::ordered_json cure_;
};

}  // namespace setstress
