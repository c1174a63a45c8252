#pragma once
// Intact runs of many models on one mesh, advancing together.

#include <exception>
#include <optional>
#include <span>
#include <string>

#include "solver/group/lane_machine.hpp"
#include "solver/group/tissues.hpp"
#include "solver/run/shared_mesh.hpp"
#include "solver/run/simulate.hpp"

namespace setstress {

/// One run of a group.
struct Member {
  const Model* model;
  FrameSink sink;
};

/// What came of it.
struct MemberOutcome {
  Outcome outcome;
  std::exception_ptr failure;  ///< what simulate() would have thrown; null: none
  int steps_alone = 0;  ///< that the group's solver did not bring to balance: balanced as in a run alone
};

/// Why a run of `model` cannot advance with one of `leader`: the sentence's second half; empty: it can.
std::string differs_from(const Model& leader, const Model& model, const SolveOptions& options,
                         Tissues tissues = Tissues::one_for_all);

/// Solves the timelines of up to `lanes` models at once. Each takes the steps that it takes alone, to the
/// same tolerances; a step is numbered from the last event, and linear systems of steps with one number are
/// solved together, preconditioned by what `leader` is like in its step of that number. So a run's bits
/// depend on itself, on `leader` and on the machine, not on who else is in the group (on a GPU they may on
/// `lanes`). Beside the linear systems runs go on in parallel on the threads there are. Throws
/// std::invalid_argument where differs_from() has something to say; what goes wrong in one run is told in its
/// outcome.
std::vector<MemberOutcome> simulate_together(const Model& leader, std::span<const Member> members,
                                             const SolveOptions& options, const SharedMesh& shared, int lanes,
                                             Tissues tissues = Tissues::one_for_all,
                                             LaneMachine machine = LaneMachine::processor);

}  // namespace setstress
