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

/// A value and the time it needs: both or none.
void check_pair(const Section& section, const char* key, double value, const char* time_key, double time,
                const char* meaning) {
  if (value > 0 && !(time > 0))
    section.fail(time_key, fmt::format("[s] is missing; must be above 0, {}", meaning));
  if (!(value > 0) && time > 0)
    section.fail(time_key, fmt::format("changes nothing here: {} is not given", key));
}

void check_late_laws(const Composite& composite, const Section& section) {
  check_pair(section, "cure.late_gain", composite.cure.late_gain, "cure.late_time", composite.cure.late_time,
             "the time constant of what cures in the days after the light");
  const StiffnessLaw& stiffness = composite.stiffness;
  check_pair(section, "stiffness.early_modulus", stiffness.early_modulus, "stiffness.rise_time",
             stiffness.rise_time, "the time constant of the rise to stiffness.youngs_modulus");
  if (stiffness.early_modulus > stiffness.final_modulus)
    section.fail("stiffness.early_modulus",
                 fmt::format("is {} [MPa]; must not be above stiffness.youngs_modulus, {} MPa, which it "
                             "rises to in days",
                             stiffness.early_modulus, stiffness.final_modulus));
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
  check_late_laws(composite, section);
  const StiffnessLaw& stiffness = composite.stiffness;
  if (stiffness.unset_poisson_ratio != 0 && stiffness.unset_poisson_ratio < stiffness.poisson_ratio)
    section.fail("stiffness.unset_poisson_ratio",
                 fmt::format("is {} [-]; must not be below stiffness.poisson_ratio, {}: paste is a liquid "
                             "before it sets",
                             stiffness.unset_poisson_ratio, stiffness.poisson_ratio));
}

}  // namespace setstress
