#pragma once
// Many cases on one mesh solved side by side (solver/group), each as solve_case() would have it but for its
// last digits.

#include <span>

#include "cases/run/runner.hpp"
#include "solver/group/lane_machine.hpp"
#include "solver/group/tissues.hpp"

namespace setstress {

/// A case posed; both must stay.
struct PosedCase {
  const Case* input;
  const Model* model;
  StepWatch watch = [](const Frame&, const HistoryEntry&, const Progress&) { return true; };
};

/// Whether `one` can be solved in lanes that `leader` leads.
bool can_follow(const PosedCase& leader, const PosedCase& one, Tissues tissues = Tissues::one_for_all);

/// Solves up to `lanes` cases at once, on one thread and, if so chosen, a GPU. Those for which can_follow()
/// says no, and those that failed, are empty: they are to be solved alone, which says why. Bits of a case
/// depend on itself and on `leader`, which is not solved, and on the machine; on a processor neither on the
/// others nor on `lanes`. Throws std::runtime_error where there is no GPU to use, or it fails.
std::vector<std::optional<SolvedCase>> solve_together(const PosedCase& leader,
                                                      std::span<const PosedCase> cases,
                                                      const SharedMesh& shared, int lanes,
                                                      Tissues tissues = Tissues::one_for_all,
                                                      LaneMachine machine = LaneMachine::processor);

}  // namespace setstress
