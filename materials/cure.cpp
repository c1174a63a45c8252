// Cure over time. The drive multiplies the whole rate, so with the driven time tau = k * integral of the
// drive the law reads da/dtau = (a + seed)^m (1 - a)^n: an autonomous equation, integrated here whatever the
// light does.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

#include "materials/composite.hpp"

namespace setstress {
namespace {

constexpr double step_tolerance = 1e-8;  ///< of one sub-step in a [-]; a hundredth of what advance() promises
constexpr double longest_step = 0.05;    ///< of one sub-step in a at the fastest slope ahead [-]
constexpr double nothing_left = 1e-9;    ///< limit - a below which the cure is over [-]

/// da/dtau [-]. Stages of a step that proves too long may leave [0, limit]; they see its nearer end.
double slope(const CureLaw& law, double a, double limit) {
  const double inside = std::clamp(a, 0.0, limit);
  return std::pow(inside + law.seed, law.order_growth) * std::pow(limit - inside, law.order_depletion);
}

/// Relative conversion at which (a + seed)^m (limit - a)^n is highest [-].
double peak_of(const CureLaw& law, double limit) {
  const double m = law.order_growth, n = law.order_depletion;
  return std::max((m * limit - n * law.seed) / (m + n), 0.0);
}

/// Largest slope at relative conversions from `a` on [-]: that of the peak while it is still ahead, the
/// present value after it.
double fastest_slope_ahead(const CureLaw& law, double a, double limit) {
  return slope(law, std::max(a, peak_of(law, limit)), limit);
}

struct Trial {
  double a;          ///< fifth order
  double error;      ///< difference to the embedded fourth order
  double end_slope;  ///< slope at `a`, first stage of the next sub-step
};

/// One sub-step of length `h` from `a` with slope `k1` there (Dormand and Prince 1980, J Comput Appl Math
/// 6:19-26).
Trial try_step(const CureLaw& law, double a, double limit, double k1, double h) {
  const auto slope_at = [&](double x) { return slope(law, x, limit); };
  const double k2 = slope_at(a + h * (k1 / 5));
  const double k3 = slope_at(a + h * (3.0 / 40 * k1 + 9.0 / 40 * k2));
  const double k4 = slope_at(a + h * (44.0 / 45 * k1 - 56.0 / 15 * k2 + 32.0 / 9 * k3));
  const double k5 =
      slope_at(a + h * (19372.0 / 6561 * k1 - 25360.0 / 2187 * k2 + 64448.0 / 6561 * k3 - 212.0 / 729 * k4));
  const double k6 = slope_at(a + h * (9017.0 / 3168 * k1 - 355.0 / 33 * k2 + 46732.0 / 5247 * k3 +
                                      49.0 / 176 * k4 - 5103.0 / 18656 * k5));
  const double end =
      a + h * (35.0 / 384 * k1 + 500.0 / 1113 * k3 + 125.0 / 192 * k4 - 2187.0 / 6784 * k5 + 11.0 / 84 * k6);
  const double k7 = slope_at(end);
  const double error = h * (71.0 / 57600 * k1 - 71.0 / 16695 * k3 + 71.0 / 1920 * k4 - 17253.0 / 339200 * k5 +
                            22.0 / 525 * k6 - k7 / 40);
  return {end, std::abs(error), k7};
}

/// Conversion after the driven time `tau` [-], starting from `a`, not beyond `limit`.
double react(const CureLaw& law, double a, double limit, double tau) {
  if (!(tau > 0) || !(limit - a > nothing_left)) return a;
  double left = tau;
  double h = tau;
  double start_slope = slope(law, a, limit), start_of_slope = a;
  const double peak = peak_of(law, limit);
  while (true) {
    const double fastest =
        a >= peak && a == start_of_slope ? start_slope : slope(law, std::max(a, peak), limit);
    // Fourth and fifth order of a longer one can agree by chance where both are wrong.
    h = std::min({h, left, longest_step / fastest});
    const Trial trial = try_step(law, a, limit, start_slope, h);
    if (trial.error <= step_tolerance) {
      left = h < left ? left - h : 0;
      a = std::clamp(trial.a, a, limit);
      start_slope = trial.end_slope;
      start_of_slope = trial.a;
      if (!(left > 0) || !(limit - a > nothing_left)) return a;
    }
    const double scale = 0.9 * std::pow(step_tolerance / std::max(trial.error, 1e-30), 0.2);
    h *= std::clamp(scale, 0.1, 5.0);
  }
}

/// Drive that the light alone keeps up [-]; none in the dark, also for p = 0.
double lit_drive(const CureLaw& law, double irradiance) {
  return irradiance > 0 ? std::pow(irradiance / law.reference_irradiance, law.irradiance_exponent) : 0.0;
}

/// Integral [s] over `duration` of the larger of `lit` and `drive` exp(-t/T): the light never lowers what is
/// left.
double driven_time(double lit, double drive, double dark_time, double duration) {
  if (drive <= lit) return lit * duration;
  const double fades = lit > 0 ? std::min(duration, dark_time * std::log(drive / lit)) : duration;
  return drive * dark_time * -std::expm1(-fades / dark_time) + lit * (duration - fades);
}

/// What a time of constant light leads to: the integral of the drive [s], and the drive kept for what
/// follows.
struct Driven {
  double time, drive;
};

Driven drive_over(const CureLaw& law, double lit, double drive, double duration) {
  if (law.dark_share == 0)
    return {driven_time(lit, drive, law.dark_time, duration),
            std::max(lit, drive * std::exp(-duration / law.dark_time))};
  // drive' = (lit - drive)/dark_time, of which the dark share acts beside the rest of the light.
  const double risen = -std::expm1(-duration / law.dark_time);
  return {lit * duration + law.dark_share * (drive - lit) * law.dark_time * risen,
          drive + (lit - drive) * risen};
}

void require(bool holds, const char* what, double value, const char* allowed) {
  if (!holds) throw std::invalid_argument(fmt::format("{} is {}; must be {}", what, value, allowed));
}

/// Longest change of what came late in one piece [-], of which it holds that what light brought is on average
/// the mean of start and end.
constexpr double late_piece = 1e-5;

CureState advance_checked(const CureLaw& law, const CureState& state, double irradiance, double duration) {
  const double lit = lit_drive(law, irradiance);
  const Driven driven = drive_over(law, lit, state.drive, duration);
  const double tau = law.rate * driven.time;
  require(tau >= 0 && std::isfinite(tau), "rate of the cure law times driven time [-]", tau,
          "0 or more and finite");
  CureState after = state;
  after.drive = driven.drive;
  after.brightest = std::max(state.brightest, irradiance / law.reference_irradiance);
  if (irradiance > 0 || state.age > 0) after.age = state.age + duration;
  const double before = state.conversion - state.late;
  const double by_light = react(law, before, std::max(before, lit_limit(law, after.brightest)), tau);
  if (law.late_gain == 0) {
    after.conversion = by_light;
    return after;
  }
  const double passed = -std::expm1(-duration / law.late_time);
  if (law.late_gain * (by_light - before) * passed > late_piece) {
    const CureState halfway = advance_checked(law, state, irradiance, 0.5 * duration);
    return advance_checked(law, halfway, irradiance, 0.5 * duration);
  }
  after.late = state.late + (law.late_gain * 0.5 * (before + by_light) - state.late) * passed;
  after.conversion = std::clamp(by_light + after.late, state.conversion, 1.0);
  return after;
}

}  // namespace

double lit_limit(const CureLaw& law, double brightest) {
  const double vitrified =
      law.limit_exponent == 0 ? 1.0 : std::min(1.0, std::pow(brightest, law.limit_exponent));
  return vitrified / (1 + law.late_gain);
}

double cure_rate(const CureLaw& law, double a, double drive, double limit) {
  require(a >= 0 && a <= 1, "relative conversion [-]", a, "in [0, 1]");
  return law.rate * drive * slope(law, a, limit);
}

double fastest_rate_ahead(const CureLaw& law, double a) {
  require(a >= 0 && a <= 1, "relative conversion [-]", a, "in [0, 1]");
  return law.rate * fastest_slope_ahead(law, a, 1.0);
}

CureState advance(const CureLaw& law, const CureState& state, double irradiance, double duration) {
  require(state.conversion >= 0 && state.conversion <= 1, "relative conversion [-]", state.conversion,
          "in [0, 1]");
  require(state.drive >= 0 && std::isfinite(state.drive), "drive [-]", state.drive, "0 or more and finite");
  require(irradiance >= 0 && std::isfinite(irradiance), "irradiance [mW/cm2]", irradiance,
          "0 or more and finite");
  require(duration >= 0 && std::isfinite(duration), "duration [s]", duration, "0 or more and finite");
  require(law.late_gain == 0 || law.late_time > 0, "late_time of the cure law [s]", law.late_time,
          "above 0 where there is a late_gain");
  return advance_checked(law, state, irradiance, duration);
}

}  // namespace setstress
