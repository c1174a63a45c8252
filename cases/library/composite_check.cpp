#include "cases/library/composite_check.hpp"

#include <fmt/format.h>

namespace setstress {
namespace {

/// Keys of a branch, below [flow].
struct BranchKeys {
  const char *share, *time_soft, *time_set;
};
constexpr std::array<BranchKeys, 2> keys{
    {{"flow.share", "flow.time_soft", "flow.time_set"},
     {"flow.second_share", "flow.second_time_soft", "flow.second_time_set"}}};

void check_branch(const FlowLaw& flow, std::size_t b, const Section& section) {
  const MaxwellBranch& branch = flow.branches[b];
  if (!flow.uses(b)) {
    if (branch.time_soft > 0 || branch.time_set > 0)
      section.fail(branch.time_soft > 0 ? keys[b].time_soft : keys[b].time_set,
                   fmt::format("changes nothing here: {} is 0{}", keys[b].share,
                               b == 0 ? ", and so is flow.vitrification" : ""));
    return;
  }
  if (!(branch.time_soft > 0))
    section.fail(keys[b].time_soft,
                 "[s] is missing; must be above 0, the relaxation time up to vitrification");
  if (!(branch.time_set > 0))
    section.fail(keys[b].time_set, "[s] is missing; must be above 0, the relaxation time at full cure");
  if (branch.time_set < branch.time_soft)
    section.fail(keys[b].time_set,
                 fmt::format("is {} [s]; must not be below {}, {} s: relaxation slows down with cure",
                             branch.time_set, keys[b].time_soft, branch.time_soft));
}

}  // namespace

void check_composite(const Composite& composite, const Section& section) {
  const FlowLaw& flow = composite.flow;
  for (std::size_t b = 0; b < flow.branches.size(); ++b) check_branch(flow, b, section);
  const double shares = flow.branches[0].share + flow.branches[1].share;
  if (shares > 1)
    section.fail(keys[1].share,
                 fmt::format("is {} [-]; with {} it must not be more than 1", flow.branches[1].share,
                             fmt::format("{}, {},", keys[0].share, flow.branches[0].share)));
  if (flow.volume > 0 && !flow.flows())
    section.fail("flow.volume", "changes nothing here: flow.share and flow.vitrification are 0");
  const StiffnessLaw& stiffness = composite.stiffness;
  if (stiffness.unset_poisson_ratio != 0 && stiffness.unset_poisson_ratio < stiffness.poisson_ratio)
    section.fail("stiffness.unset_poisson_ratio",
                 fmt::format("is {} [-]; must not be below stiffness.poisson_ratio, {}: paste is a liquid "
                             "before it sets",
                             stiffness.unset_poisson_ratio, stiffness.poisson_ratio));
}

}  // namespace setstress
