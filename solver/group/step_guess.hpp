#pragma once
// Where a step is likely to lead, so that little is left to solve for.

#include <Eigen/Core>
#include <deque>
#include <optional>

#include "solver/run/run.hpp"

namespace setstress {

/// Steps of one run so far. What moves a body whose filling sets is the filling's shrinkage: a step that
/// shrinks as some combination of former steps did moves it much as the same combination of theirs.
class StepGuess {
 public:
  /// Sets the displacements of `trial`, which is about to be looked at first, where they are free. Leaves
  /// them as they are where nothing is known. True: `trial.constant` is there as well.
  bool improve(const Run& run, Trial& trial) const;
  /// A step that was balanced.
  void remember(const Trial& trial);
  /// Displacements changed otherwise than by a step remembered.
  void interrupt() { forces_.reset(); }

 private:
  struct Step {
    Eigen::VectorXd moved;   ///< [mm]
    Eigen::VectorXd shrunk;  ///< by stress point of the filling [-]
    Eigen::VectorXd forces;  ///< of tissues and foundations, by how much they changed [N]; empty: not known
  };
  [[nodiscard]] std::optional<Eigen::VectorXd> shares(const Trial& trial) const;

  std::deque<Step> steps_;                 ///< the last one first
  std::optional<Eigen::VectorXd> forces_;  ///< of tissues and foundations now [N]
};

}  // namespace setstress
