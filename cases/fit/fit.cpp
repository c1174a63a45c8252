#include "cases/fit/fit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "cases/fit/predicted.hpp"
#include "cases/reader/case_error.hpp"

namespace setstress {
namespace {

constexpr int rounds = 3;              // of scatter and constants in turn
constexpr double small_change = 1e-3;  // of the bounds, to see whether anything depends on a constant
constexpr double nothing = 1e-12;      // change of a datum against its curve's largest
constexpr double loose = 0.5;          // half-width over value from which a constant is not fixed
constexpr double together = 0.95;      // correlation from which two constants are told as one

FittedMaterial with(const Measurements& measurements, const Eigen::VectorXd& values) {
  FittedMaterial material = measurements.start;
  for (std::size_t c = 0; c < measurements.constants.size(); ++c)
    measurements.constants[c].in(material) = values(static_cast<Eigen::Index>(c));
  return material;
}

bool has_known_errors(const MeasuredCurve& curve) {
  return curve.data.front().error > 0;
}

/// Whether one datum at least says how well it is known: residuals are then in units of what is known.
Scatter scatter_kind(const Measurements& measurements) {
  const auto& curves = measurements.curves;
  const auto& constants = measurements.constants;
  const bool known = std::any_of(curves.begin(), curves.end(), has_known_errors) ||
                     std::any_of(constants.begin(), constants.end(),
                                 [](const SoughtConstant& sought) { return sought.error > 0; });
  return known ? Scatter::known : Scatter::found;
}

double largest(const MeasuredCurve& curve) {
  double value = 0;
  for (const Datum& datum : curve.data) value = std::max(value, std::abs(datum.value));
  return value > 0 ? value : 1;
}

Eigen::VectorXd differences(const Measurements& measurements, const Eigen::VectorXd& values,
                            const std::vector<double>& scatter) {
  const FittedMaterial material = with(measurements, values);
  std::vector<double> all;
  for (std::size_t k = 0; k < measurements.curves.size(); ++k) {
    const MeasuredCurve& curve = measurements.curves[k];
    const std::vector<double> law = predicted(material, curve);
    for (std::size_t i = 0; i < law.size(); ++i)
      all.push_back((law[i] - curve.data[i].value) /
                    (has_known_errors(curve) ? curve.data[i].error : scatter[k]));
  }
  for (std::size_t c = 0; c < measurements.constants.size(); ++c)
    if (const SoughtConstant& sought = measurements.constants[c]; sought.error > 0)
      all.push_back((values(static_cast<Eigen::Index>(c)) - sought.start) / sought.error);
  return Eigen::Map<const Eigen::VectorXd>(all.data(), static_cast<Eigen::Index>(all.size()));
}

Bounded bounds_of(const Measurements& measurements) {
  const auto count = static_cast<Eigen::Index>(measurements.constants.size());
  Bounded bounded{Eigen::VectorXd(count), Eigen::VectorXd(count), Eigen::VectorXd(count)};
  for (Eigen::Index c = 0; c < count; ++c) {
    const SoughtConstant& constant = measurements.constants[static_cast<std::size_t>(c)];
    bounded.start(c) = constant.start;
    bounded.low(c) = constant.low;
    bounded.high(c) = constant.high;
  }
  return bounded;
}

void refuse_what_cannot_be(const Measurements& measurements, const Bounded& bounded,
                           const Residuals& residuals) {
  const Eigen::VectorXd at_start = residuals(bounded.start);
  Eigen::Index measured = 0;
  for (const MeasuredCurve& curve : measurements.curves)
    measured += static_cast<Eigen::Index>(curve.data.size());
  if (at_start.size() <= bounded.start.size())
    throw CaseError(fmt::format("{} data are too few for {} constants; must be more", at_start.size(),
                                bounded.start.size()));
  for (Eigen::Index c = 0; c < bounded.start.size(); ++c) {
    Eigen::VectorXd moved = bounded.start;
    moved(c) += small_change * (bounded.high(c) - moved(c));
    const SoughtConstant& constant = measurements.constants[static_cast<std::size_t>(c)];
    if ((residuals(moved) - at_start).head(measured).cwiseAbs().maxCoeff() < nothing)
      throw CaseError(
          fmt::format("{}: constant.key is \"{}\", on which no curve here depends; give one that does, "
                      "or leave the constant out",
                      constant.place, constant.key));
  }
}

/// Root mean square by curve of what is left, in the curve's unit, given residuals in units of `scatter`, or
/// of their own errors.
std::vector<double> scatter_of(const Measurements& measurements, const Eigen::VectorXd& residuals,
                               const std::vector<double>& scatter) {
  std::vector<double> found;
  Eigen::Index from = 0;
  for (std::size_t k = 0; k < scatter.size(); ++k) {
    const MeasuredCurve& curve = measurements.curves[k];
    const auto count = static_cast<Eigen::Index>(curve.data.size());
    Eigen::VectorXd left = residuals.segment(from, count);
    for (Eigen::Index i = 0; i < count && has_known_errors(curve); ++i)
      left(i) *= curve.data[static_cast<std::size_t>(i)].error / scatter[k];
    const double root = std::sqrt(left.squaredNorm() / static_cast<double>(count));
    found.push_back(std::max(scatter[k] * root, 1e-9 * largest(curve)));
    from += count;
  }
  return found;
}

std::string warning_of(const Fit& fit, std::size_t c) {
  const FoundConstant& found = fit.constants[c];
  const SoughtConstant& sought = found.sought;
  const double span = sought.high - sought.low;
  std::string companion;
  for (std::size_t other = 0; other < fit.constants.size(); ++other) {
    const double r = fit.correlation(static_cast<Eigen::Index>(c), static_cast<Eigen::Index>(other));
    if (other != c && std::abs(r) > together)
      companion +=
          fmt::format("; it moves with {} (correlation {:+.3f})", fit.constants[other].sought.key, r);
  }
  if (!std::isfinite(found.standard_error))
    return fmt::format("{}: these data leave it open; other constants can make up for any change of it",
                       sought.key);
  if (found.value - sought.low < 1e-6 * span || sought.high - found.value < 1e-6 * span)
    return fmt::format("{}: stands at its bound, {:.4g} {}; the data ask for more than the bound allows",
                       sought.key, found.value, sought.unit);
  if (found.half_width > loose * std::abs(found.value))
    return fmt::format("{}: these data do not fix it: {:.4g} within {:.2g} {}{}", sought.key, found.value,
                       found.half_width, sought.unit, companion);
  return "";
}

/// All but the curves.
Fit told(const Measurements& measurements, const Estimate& estimate) {
  Fit found{.material = with(measurements, estimate.value),
            .constants = {},
            .correlation = estimate.correlation,
            .curves = {},
            .data = static_cast<int>(estimate.residuals.size())};
  const double width = half_width_95(scatter_kind(measurements) == Scatter::known
                                         ? std::numeric_limits<double>::infinity()
                                         : static_cast<double>(found.data - estimate.value.size()));
  for (std::size_t c = 0; c < measurements.constants.size(); ++c) {
    const auto i = static_cast<Eigen::Index>(c);
    found.constants.push_back({measurements.constants[c], estimate.value(i), estimate.standard_error(i),
                               width * estimate.standard_error(i), ""});
  }
  for (std::size_t c = 0; c < found.constants.size(); ++c) found.constants[c].warning = warning_of(found, c);
  return found;
}

void require_one_class(const Measurements& measurements, const FittedMaterial& material) {
  try {
    check_material(material, measurements.file);
  } catch (const CaseError& error) {
    throw CaseError(
        fmt::format("{}: so the data ask for, but no class may have it; narrow the bounds of the "
                    "[[constant]], or leave it out",
                    error.what()));
  }
}

}  // namespace

Fit fit(const Measurements& measurements, const FitProgress& progress) {
  Bounded bounded = bounds_of(measurements);
  std::vector<double> scatter;
  for (const MeasuredCurve& curve : measurements.curves) scatter.push_back(largest(curve));
  int searches = 0, tried = 0;
  const Residuals residuals = [&](const Eigen::VectorXd& values) {
    if (progress && !progress(searches / (1.0 + rounds), tried++)) throw FitStopped("stopped as asked");
    return differences(measurements, values, scatter);
  };
  refuse_what_cannot_be(measurements, bounded, residuals);
  const Scatter kind = scatter_kind(measurements);
  const bool all_known =
      std::all_of(measurements.curves.begin(), measurements.curves.end(), has_known_errors);
  Estimate estimate = least_squares(residuals, bounded, all_known ? measurements.loss : Loss::squares, kind);
  for (int round = 0; round < rounds && !all_known; ++round) {
    searches = round + 1;
    scatter = scatter_of(measurements, estimate.residuals, scatter);
    const Eigen::VectorXd margin = 1e-9 * (bounded.high - bounded.low);
    bounded.start = estimate.value.cwiseMax(bounded.low + margin).cwiseMin(bounded.high - margin);
    estimate = least_squares(residuals, bounded, measurements.loss, kind);
  }
  Fit found = told(measurements, estimate);
  require_one_class(measurements, found.material);
  const std::vector<double> left = scatter_of(measurements, estimate.residuals, scatter);
  for (std::size_t k = 0; k < measurements.curves.size(); ++k)
    found.curves.push_back({predicted(found.material, measurements.curves[k]), left[k]});
  return found;
}

}  // namespace setstress
