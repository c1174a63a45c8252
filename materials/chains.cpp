#include "materials/chains.hpp"

#include <algorithm>

namespace setstress {
namespace {

/// A modulus of the composite at a conversion, and its mean over conversions [MPa].
struct Modulus {
  double (StiffnessLaw::*at)(double) const;
  double (StiffnessLaw::*mean)(double, double) const;
};
constexpr Modulus shear_modulus{&StiffnessLaw::shear_modulus, &StiffnessLaw::mean_shear_modulus};
constexpr Modulus bulk_modulus{&StiffnessLaw::bulk_modulus, &StiffnessLaw::mean_bulk_modulus};

/// What the conversions from a0 to a1 have of a modulus: gained up to vitrification, and after it [MPa].
struct Gained {
  double before, after;
};

Gained mean_gained(const StiffnessLaw& law, const Modulus& modulus, double a0, double a1,
                   double vitrification) {
  if (a1 <= vitrification) return {(law.*modulus.mean)(a0, a1), 0.0};
  const double there = vitrification > 0 ? (law.*modulus.at)(vitrification) : 0.0;
  if (a0 >= vitrification) return {there, (law.*modulus.mean)(a0, a1) - there};
  const double share = (vitrification - a0) / (a1 - a0);
  const double soft = (law.*modulus.mean)(a0, vitrification);
  const double set = (law.*modulus.mean)(vitrification, a1);
  return {share * soft + (1 - share) * there, (1 - share) * (set - there)};
}

/// Spreads one modulus over the chains; of what a branch has, `flowing` [-] relaxes with it, the rest is
/// elastic.
std::array<double, 3> spread(const FlowLaw& flow, const Gained& gained, double flowing) {
  std::array<double, 3> chains{gained.before + gained.after};
  for (std::size_t b = 0; b < flow.branches.size(); ++b) {
    const double whole = (b == 0 ? gained.before : 0.0) + flow.branches[b].share * gained.after;
    chains[b + 1] = flowing * whole;
    chains[0] -= flowing * whole;
  }
  chains[0] = std::max(chains[0], 0.0);  // round-off where everything flows
  return chains;
}

void set_moduli(const Composite& composite, double a0, double a1, double risen, Moduli ChainStep::*which,
                ChainSteps& chains) {
  const auto of = [&](const Modulus& modulus, double flowing) {
    return spread(composite.flow,
                  mean_gained(composite.stiffness, modulus, a0, a1, composite.flow.vitrification), flowing);
  };
  const std::array<double, 3> shear = of(shear_modulus, 1.0), bulk = of(bulk_modulus, composite.flow.volume);
  for (std::size_t c = 0; c < chains.size(); ++c) chains[c].*which = {risen * shear[c], risen * bulk[c]};
}

}  // namespace

ChainSteps chain_steps(const Composite& composite, double a0, double a1, double duration,
                       const Risen& risen) {
  ChainSteps chains;
  set_moduli(composite, a0, a0, risen.start, &ChainStep::start, chains);
  set_moduli(composite, a0, a1, risen.mean, &ChainStep::mean, chains);
  set_moduli(composite, a1, a1, risen.end, &ChainStep::end, chains);
  for (std::size_t b = 0; b < composite.flow.branches.size(); ++b) {
    if (!composite.flow.uses(b)) continue;
    const double elapsed = composite.flow.elapsed(b, a0, a1, duration);
    chains[b + 1].left = share_left(elapsed);
    chains[b + 1].built = share_built(elapsed);
  }
  return chains;
}

}  // namespace setstress
