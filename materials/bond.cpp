#include "materials/bond.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace setstress {
namespace {

void require(bool holds, const std::string& what, double value, const char* allowed) {
  if (!holds) throw std::invalid_argument(fmt::format("{} is {}; must be {}", what, value, allowed));
}

/// `override_value` where given [MPa/mm], else `modulus` [MPa] over the film thickness [mm].
double film_stiffness(const Adhesive& film, double override_value, double modulus) {
  if (override_value > 0) return override_value;
  require(film.film_thickness > 0, "film thickness [mm] of the adhesive " + film.name, film.film_thickness,
          "above 0, or give the film stiffness itself");
  return modulus / film.film_thickness;
}

}  // namespace

MaturityLaw::MaturityLaw(std::string name, std::vector<Point> points)
    : name_(std::move(name)), points_(std::move(points)) {
  if (points_.empty()) throw std::invalid_argument(name_ + " has no points; give at least one, at 0 s");
  require(points_.front().time == 0, name_ + ": time [s] of point 1", points_.front().time, "0");
  for (std::size_t i = 0; i < points_.size(); ++i) {
    const std::string point = fmt::format("of point {}", i + 1);
    const auto [time, maturity] = points_[i];
    require(maturity > 0 && maturity <= 1, name_ + ": maturity [-] " + point, maturity, "in (0, 1]");
    require(std::isfinite(time), name_ + ": time [s] " + point, time, "finite");
    if (i == 0) continue;
    require(time > points_[i - 1].time, name_ + ": time [s] " + point, time, "later than the point before");
    require(maturity >= points_[i - 1].maturity, name_ + ": maturity [-] " + point, maturity,
            "no less than that of the point before");
  }
}

double MaturityLaw::operator()(double time) const {
  require(time >= 0, "time since the bond was cured [s]", time, "0 or more");
  const auto later = std::upper_bound(points_.begin(), points_.end(), time,
                                      [](double t, const Point& point) { return t < point.time; });
  if (later == points_.end()) return points_.back().maturity;
  const Point& to = *later;
  const Point& from = *std::prev(later);
  const double share =
      (std::log1p(time) - std::log1p(from.time)) / (std::log1p(to.time) - std::log1p(from.time));
  return std::min(from.maturity + share * (to.maturity - from.maturity), to.maturity);
}

MaturityLaw MaturityLaw::chairside_rule(double at_once) {
  require(at_once > 0 && at_once <= 0.7, "chairside rule: maturity at once [-]", at_once, "in (0, 0.7]");
  constexpr double minute = 60, hour = 3600;
  return {"chairside rule",
          {{0, at_once}, {1 * minute, 0.7}, {3 * minute, 0.8}, {5 * minute, 0.9}, {120 * hour, 1.0}}};
}

MaturityLaw MaturityLaw::ten_minute_pair(double ratio, double at_once) {
  require(ratio >= 0.6 && ratio <= 1, "ten minute pair: ratio of 10 min to 24 h strength [-]", ratio,
          "in [0.6, 1]");
  require(at_once > 0 && at_once <= ratio, "ten minute pair: maturity at once [-]", at_once,
          "above 0 and no more than the ratio");
  return {"ten minute pair", {{0, at_once}, {600, ratio}, {86400, 1.0}}};
}

MaturityLaw MaturityLaw::mature_at_once() {
  return {"mature at once", {{0, 1.0}}};
}

MaturityLaw MaturityLaw::table(std::vector<Point> points) {
  return {"table", std::move(points)};
}

double Adhesive::normal_stiffness() const {
  const double nu = poisson_ratio;
  return film_stiffness(*this, normal_stiffness_override,
                        youngs_modulus * (1 - nu) / ((1 + nu) * (1 - 2 * nu)));
}

double Adhesive::shear_stiffness() const {
  return film_stiffness(*this, shear_stiffness_override, youngs_modulus / (2 * (1 + poisson_ratio)));
}

WallBond wall_bond(const Adhesive& adhesive) {
  return {adhesive.normal_stiffness(), adhesive.shear_stiffness(), adhesive.strength};
}

}  // namespace setstress
