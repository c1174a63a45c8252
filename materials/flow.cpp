#include "materials/flow.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace setstress {

bool FlowLaw::flows() const {
  return uses(0) || uses(1);
}

bool FlowLaw::uses(std::size_t branch) const {
  return branches.at(branch).share > 0 || (branch == 0 && vitrification > 0);
}

double FlowLaw::time(std::size_t branch, double a) const {
  const MaxwellBranch& b = branches.at(branch);
  if (!(b.time_soft > 0 && b.time_set >= b.time_soft))
    throw std::invalid_argument(
        fmt::format("the relaxation times of a branch are {} and {} s; the first must be above 0, the second "
                    "not below it",
                    b.time_soft, b.time_set));
  if (a <= vitrification) return b.time_soft;
  return b.time_soft * std::pow(b.time_set / b.time_soft, (a - vitrification) / (1 - vitrification));
}

double FlowLaw::elapsed(std::size_t branch, double a0, double a1, double duration) const {
  const double start = time(branch, a0);
  if (a1 <= vitrification || a0 == a1) return duration / start;
  const double soft = a0 < vitrification ? (vitrification - a0) / (a1 - a0) : 0.0;
  const MaxwellBranch& b = branches[branch];
  const double growth =
      (a1 - std::max(a0, vitrification)) / (1 - vitrification) * std::log(b.time_set / b.time_soft);
  // 1/time falls exponentially with conversion: share_built() is also the mean of exp(-x) from 0 to `growth`.
  return duration / start * (soft + (1 - soft) * share_built(growth));
}

double share_left(double elapsed) {
  return std::exp(-elapsed);
}

double share_built(double elapsed) {
  return elapsed > 0 ? -std::expm1(-elapsed) / elapsed : 1.0;
}

}  // namespace setstress
