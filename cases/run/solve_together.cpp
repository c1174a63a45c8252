#include "cases/run/solve_together.hpp"

#include "cases/run/run_in_numbers.hpp"
#include "solver/group/simulate_together.hpp"

namespace setstress {

bool can_follow(const PosedCase& leader, const PosedCase& one, Tissues tissues) {
  return leader.input->solver == one.input->solver && !leader.model->mesh.bond.empty() &&
         differs_from(*leader.model, *one.model, one.input->solver, tissues).empty();
}

std::vector<std::optional<SolvedCase>> solve_together(const PosedCase& leader,
                                                      std::span<const PosedCase> cases,
                                                      const SharedMesh& shared, int lanes, Tissues tissues,
                                                      LaneMachine machine) {
  std::vector<std::unique_ptr<RunInNumbers>> runs;
  std::vector<std::size_t> of;  // by run, its case
  std::vector<Member> members;
  for (std::size_t i = 0; i < cases.size(); ++i) {
    if (!can_follow(leader, cases[i], tissues)) continue;
    runs.push_back(
        std::make_unique<RunInNumbers>(*cases[i].input, *cases[i].model, shared.light(), cases[i].watch));
    of.push_back(i);
    members.push_back({cases[i].model, [run = runs.back().get()](const Frame& frame, const Progress& at) {
                         return run->see(frame, at);
                       }});
  }
  std::vector<std::optional<SolvedCase>> solved(cases.size());
  if (members.empty()) return solved;
  const std::vector<MemberOutcome> outcomes =
      simulate_together(*leader.model, members, leader.input->solver, shared, lanes, tissues, machine);
  for (std::size_t i = 0; i < outcomes.size(); ++i) {
    if (outcomes[i].failure) continue;
    try {
      solved[of[i]] = runs[i]->ended(outcomes[i].outcome);
    } catch (const std::exception&) {  // alone it says what
    }
  }
  return solved;
}

}  // namespace setstress
