#pragma once
// One case solved with many waits: the mesh and what follows from it alone are made once, and where the bond
// holds, one run serves every maturity law of strength, because stress does not depend on strength then.

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "cases/wait/maturity_choices.hpp"
#include "cases/wait/wall_limit.hpp"
#include "solver/model.hpp"

namespace setstress {

class SharedMesh;

/// The user asked to stop.
struct WaitStopped : std::runtime_error {
  using std::runtime_error::runtime_error;
};

class WaitRuns {
 public:
  /// Called at every step of a run: share of that run done [-] and its wait [s]. False: stop.
  using Watch = std::function<bool(double share, double wait)>;

  /// `entry` of [[plan.increment]] (1, 2, ...) is the one that waits. Meshes. Throws CaseError where the
  /// case, the entry or the wall is at fault.
  WaitRuns(const Case& input, const WallLimit& limit, int entry, std::vector<MaturityChoice> laws,
           Watch watch);

  /// Largest value over the whole run with that wait, under law `law`; empty where the run failed. Throws
  /// WaitStopped.
  std::optional<double> value(double wait, std::size_t law);

  [[nodiscard]] int solved() const { return solved_; }  ///< runs made
  /// What runs that failed said.
  [[nodiscard]] const std::vector<std::string>& failures() const { return failures_; }
  [[nodiscard]] const std::vector<MaturityChoice>& laws() const { return laws_; }
  /// Facets of the part of the bond that is limited.
  [[nodiscard]] int facets() const;

 private:
  [[nodiscard]] bool serves_all_laws() const { return input_.solver.mode == Mode::intact; }
  std::vector<double> largest_values(double wait, const std::vector<std::size_t>& laws);

  Case input_;
  WallLimit limit_;
  int entry_;
  std::vector<MaturityChoice> laws_;
  Watch watch_;
  Model model_;
  std::shared_ptr<const SharedMesh> shared_;                              ///< of the mesh
  std::map<double, std::map<std::size_t, std::optional<double>>> known_;  ///< by wait and law
  int solved_ = 0;
  std::vector<std::string> failures_;
};

/// The bond of `frame` as if its strength matured by `law` and not by `other`. For a bond that holds: nothing
/// else of it depends on the strength.
std::vector<std::array<BondPoint, 6>> bond_under(const Frame& frame, const std::vector<Substrate>& substrates,
                                                 const std::map<Substrate, MaturityLaw>& law,
                                                 const std::map<Substrate, MaturityLaw>& other);

}  // namespace setstress
