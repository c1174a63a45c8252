#include "solver/body/chain_stress.hpp"

namespace setstress {
namespace {

Vector6d stress(const Moduli& moduli, const Vector6d& strain) {
  const double lame = moduli.bulk - 2.0 / 3.0 * moduli.shear;
  Vector6d stress;
  stress.head<3>() =
      2.0 * moduli.shear * strain.head<3>() + Eigen::Vector3d::Constant(lame * strain.head<3>().sum());
  stress.tail<3>() = moduli.shear * strain.tail<3>();
  return stress;
}

/// a : C^-1 : b [MPa]; what has no stiffness has no stress either.
double product(const Moduli& moduli, const Vector6d& a, const Vector6d& b) {
  const double mean_a = a.head<3>().sum() / 3.0, mean_b = b.head<3>().sum() / 3.0;
  const double contracted =
      a.head<3>().dot(b.head<3>()) - 3.0 * mean_a * mean_b + 2.0 * a.tail<3>().dot(b.tail<3>());
  return (moduli.shear > 0.0 ? contracted / (2.0 * moduli.shear) : 0.0) +
         (moduli.bulk > 0.0 ? mean_a * mean_b / moduli.bulk : 0.0);
}

double stored(const Moduli& moduli, const Vector6d& stress) {
  return 0.5 * product(moduli, stress, stress);
}

}  // namespace

ChainStresses no_stress() {
  ChainStresses none;
  none.fill(Vector6d::Zero());
  return none;
}

Vector6d sum(const ChainStresses& chains) {
  return chains[0] + chains[1] + chains[2];
}

Moduli tangent(const ChainSteps& step) {
  Moduli moduli;
  for (const ChainStep& chain : step) {
    moduli.shear += chain.built * chain.mean.shear;
    moduli.bulk += chain.built * chain.mean.bulk;
  }
  return moduli;
}

ChainStresses after(const ChainSteps& step, const ChainStresses& before, const Vector6d& strain) {
  ChainStresses now;
  for (std::size_t c = 0; c < now.size(); ++c)
    now[c] = step[c].left * before[c] + step[c].built * stress(step[c].mean, strain);
  return now;
}

ChainEnergies energies(const ChainSteps& step, const ChainStresses& before, const ChainStresses& now) {
  ChainEnergies total;
  for (std::size_t c = 0; c < now.size(); ++c) {
    const ChainStep& chain = step[c];
    const double elastic = stored(chain.end, now[c]);
    const double by_mean = stored(chain.mean, now[c]) - stored(chain.mean, before[c]);
    total.elastic += elastic;
    total.set_in += by_mean - elastic + stored(chain.start, before[c]);
    if (chain.left == 1.0) continue;  // nothing relaxed
    const Vector6d built = (now[c] - chain.left * before[c]) / chain.built;
    total.flow += product(chain.mean, 0.5 * (before[c] + now[c]), built) - by_mean;
  }
  return total;
}

}  // namespace setstress
