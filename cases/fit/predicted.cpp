#include "cases/fit/predicted.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <stdexcept>

#include "solver/body/chain_stress.hpp"

namespace setstress {
namespace {

constexpr double longest_conversion_step = 0.02, growth_of_steps = 0.1, shortest_step = 0.05;

/// Stress [MPa] of a bar that is lit, from one cure state to the next.
class Bar {
 public:
  Bar(const Composite& composite, const MeasuredCurve& curve)
      : composite_(composite), height_(curve.height), yield_(curve.frame / curve.area) {}
  void step(const CureState& before, const CureState& after, double duration) {
    const ChainSteps chains = chain_steps(composite_, before.conversion, after.conversion, duration,
                                          composite_.stiffness.risen(before.age, after.age));
    const Moduli moduli = tangent(chains);
    const Vector6d kept = sum(setstress::after(chains, chains_, Vector6d::Zero()));
    const double free = composite_.free_strain(after.conversion) - composite_.free_strain(before.conversion);
    const double lame = moduli.bulk - 2.0 / 3.0 * moduli.shear, sideways = 2 * (moduli.shear + lame);
    const double young = 2 * moduli.shear + lame - 2 * lame * lame / sideways;
    const double kept_along = kept(2) - 2 * lame * kept(0) / sideways;
    // Stress is also that of the frame: -yield_ x (elongation of the bar).
    const double along = (-yield_ * (elongation_ + height_ * free) - kept_along) / (young + yield_ * height_);
    const double across = -(kept(0) + lame * along) / sideways;
    Vector6d strain = Vector6d::Zero();
    strain.head<3>() << across, across, along;
    chains_ = setstress::after(chains, chains_, strain);
    elongation_ += height_ * (along + free);
  }
  [[nodiscard]] double stress() const { return sum(chains_)(2); }

 private:
  const Composite& composite_;
  double height_, yield_;  ///< [mm], [MPa/mm]
  double elongation_ = 0;  ///< [mm]
  ChainStresses chains_ = no_stress();
};

/// Cure of one point from light on to `until` [s], in pieces short enough for stress where `on_step` asks.
class Point {
 public:
  Point(const Composite& composite, const MeasuredCurve& curve, double depth)
      : law_(composite.cure),
        irradiance_(composite.light.at_depth(curve.irradiance, depth)),
        lit_(curve.lit) {}
  using OnStep = std::function<void(const CureState&, const CureState&, double)>;
  const CureState& at(double until, const OnStep& on_step = {}) {
    while (time_ < until) {
      const bool light = time_ < lit_;
      double duration = (light ? std::min(until, lit_) : until) - time_;
      CureState next = advance(law_, state_, light ? irradiance_ : 0.0, duration);
      if (on_step) {
        duration = std::min(duration, std::max(shortest_step, growth_of_steps * time_));
        next = advance(law_, state_, light ? irradiance_ : 0.0, duration);
        while (next.conversion - state_.conversion > longest_conversion_step) {
          duration *= 0.5;
          next = advance(law_, state_, light ? irradiance_ : 0.0, duration);
        }
        on_step(state_, next, duration);
      }
      state_ = next;
      time_ += duration;
      if (until - time_ < 1e-9) time_ = until;
      if (light && std::abs(lit_ - time_) < 1e-9) time_ = std::min(lit_, until);
    }
    return state_;
  }

 private:
  const CureLaw& law_;
  double irradiance_, lit_;
  double time_ = 0;
  CureState state_;
};

double read_at(const Composite& composite, CurveKind kind, const CureState& state) {
  switch (kind) {
    case CurveKind::conversion:
      return composite.cure.limiting_conversion * state.conversion;
    case CurveKind::shrinkage:
      return composite.volumetric_shrinkage * state.conversion;
    case CurveKind::modulus:
      return composite.stiffness.risen(state.age, state.age).end *
             composite.stiffness.modulus(state.conversion);
    case CurveKind::stress:
    case CurveKind::transmission:
      break;
  }
  throw std::logic_error("a curve that is not read off one cure state");
}

std::vector<double> stress_of_bar(const Composite& composite, const MeasuredCurve& curve) {
  std::vector<double> stresses;
  Point point(composite, curve, curve.data.front().depth);
  Bar bar(composite, curve);
  for (const Datum& datum : curve.data) {
    point.at(datum.at, [&](const CureState& before, const CureState& after, double duration) {
      bar.step(before, after, duration);
    });
    stresses.push_back(bar.stress());
  }
  return stresses;
}

}  // namespace

std::vector<double> predicted(const Composite& composite, const MeasuredCurve& curve) {
  if (curve.kind == CurveKind::stress) return stress_of_bar(composite, curve);
  std::vector<double> values;
  std::optional<Point> point;
  for (std::size_t i = 0; i < curve.data.size(); ++i) {
    const Datum& datum = curve.data[i];
    if (curve.kind == CurveKind::transmission) {
      values.push_back(composite.light.at_depth(1.0, datum.at));
      continue;
    }
    if (i == 0 || datum.depth != curve.data[i - 1].depth) point.emplace(composite, curve, datum.depth);
    values.push_back(read_at(composite, curve.kind, point->at(datum.at)));
  }
  return values;
}

}  // namespace setstress
