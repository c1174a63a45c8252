#include "cases/fit/predicted.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <stdexcept>

#include "cases/fit/specimens.hpp"

namespace setstress {
namespace {

constexpr double longest_conversion_step = 0.02, growth_of_steps = 0.1, shortest_step = 0.05;
constexpr double for_rate = 0.01;  ///< time over which a rate is taken [s]

/// Cure of one point from light on to `until` [s], in pieces short enough for stress where `on_step` asks.
class Point {
 public:
  Point(const Composite& composite, const MeasuredCurve& curve, double depth)
      : law_(composite.cure),
        irradiance_(composite.light.at_depth(curve.irradiance, depth)),
        lit_(curve.lit) {}
  using OnStep = std::function<void(const CureState&, const CureState&, double)>;
  /// Change of relative conversion a second over the moment that follows [1/s].
  [[nodiscard]] double rate() const {
    const CureState next = advance(law_, state_, time_ < lit_ ? irradiance_ : 0.0, for_rate);
    return (next.conversion - state_.conversion) / for_rate;
  }
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
    case CurveKind::shrinkage_rate:
    case CurveKind::stress:
    case CurveKind::transmission:
    case CurveKind::bond_strength:
      break;
  }
  throw std::logic_error("a curve that is not read off one cure state");
}

std::vector<double> stress_of_specimen(const Composite& composite, const MeasuredCurve& curve) {
  std::vector<double> stresses;
  Point point(composite, curve, curve.data.front().depth);
  const std::unique_ptr<SettingSpecimen> specimen = setting_specimen(composite, curve);
  for (const Datum& datum : curve.data) {
    point.at(datum.at, [&](const CureState& before, const CureState& after, double duration) {
      specimen->step(before, after, duration);
    });
    stresses.push_back(specimen->stress());
  }
  return stresses;
}

std::vector<double> bond_strengths(const AgedBond& bond, const MeasuredCurve& curve) {
  std::vector<double> values;
  for (const Datum& datum : curve.data) values.push_back(bond.strength(datum.at, datum.area, curve.sheared));
  return values;
}

}  // namespace

std::vector<double> predicted(const FittedMaterial& material, const MeasuredCurve& curve) {
  return material.bond ? bond_strengths(*material.bond, curve) : predicted(material.composite, curve);
}

std::vector<double> predicted(const Composite& composite, const MeasuredCurve& curve) {
  if (curve.kind == CurveKind::stress) return stress_of_specimen(composite, curve);
  std::vector<double> values;
  std::optional<Point> point;
  for (std::size_t i = 0; i < curve.data.size(); ++i) {
    const Datum& datum = curve.data[i];
    if (curve.kind == CurveKind::transmission) {
      values.push_back(composite.light.at_depth(1.0, datum.at));
      continue;
    }
    if (i == 0 || datum.depth != curve.data[i - 1].depth) point.emplace(composite, curve, datum.depth);
    const CureState& state = point->at(datum.at);
    values.push_back(curve.kind == CurveKind::shrinkage_rate ? composite.volumetric_shrinkage * point->rate()
                                                             : read_at(composite, curve.kind, state));
  }
  return values;
}

}  // namespace setstress
