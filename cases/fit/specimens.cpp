#include "cases/fit/specimens.hpp"

#include <Eigen/Cholesky>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>

namespace setstress {
namespace {

constexpr int radial_terms = 3, axial_terms = 3, radial_points = 8, axial_points = 6;
constexpr Eigen::Index coefficients = 1 + 2 * radial_terms * axial_terms;

ChainSteps chains_of(const Composite& composite, const CureState& before, const CureState& after,
                     double duration) {
  return chain_steps(composite, before.conversion, after.conversion, duration,
                     composite.stiffness.risen(before.age, after.age));
}

double free_between(const Composite& composite, const CureState& before, const CureState& after) {
  return composite.free_strain(after.conversion) - composite.free_strain(before.conversion);
}

/// Gauss points and weights on [0, 1].
template <unsigned count>
std::vector<std::pair<double, double>> gauss() {
  using Rule = boost::math::quadrature::gauss<double, count>;
  std::vector<std::pair<double, double>> points;
  for (std::size_t i = 0; i < Rule::abscissa().size(); ++i) {
    points.emplace_back(0.5 * (1 + Rule::abscissa()[i]), 0.5 * Rule::weights()[i]);
    points.emplace_back(0.5 * (1 - Rule::abscissa()[i]), 0.5 * Rule::weights()[i]);
  }
  return points;
}

/// Strains (radial, around, axial, shear) at `x` of the radius and `z` of half the height, by coefficient.
/// The first is a uniform axial strain; then, by i and j, radial displacement r x^2i (1 - z^2) z^2j and axial
/// displacement (h/2) x^2i z (1 - z^2) z^2j. `slenderness` is the radius over half the height.
Eigen::MatrixXd strains_at(double x, double z, double slenderness) {
  Eigen::MatrixXd strains = Eigen::MatrixXd::Zero(4, coefficients);
  strains(2, 0) = 1;
  Eigen::Index column = 1;
  for (int i = 0; i < radial_terms; ++i)
    for (int j = 0; j < axial_terms; ++j, column += 2) {
      const double radial = std::pow(x, 2 * i), even = std::pow(z, 2 * j) * (1 - z * z);
      const double odd = z * even;
      const double even_slope =
          (j > 0 ? 2 * j * std::pow(z, 2 * j - 1) * (1 - z * z) : 0.0) - 2 * std::pow(z, 2 * j + 1);
      strains(0, column) = (2 * i + 1) * radial * even;
      strains(1, column) = radial * even;
      strains(3, column) = slenderness * x * radial * even_slope;
      strains(2, column + 1) = radial * (even + z * even_slope);
      strains(3, column + 1) = i > 0 ? 2 * i * std::pow(x, 2 * i - 1) * odd / slenderness : 0.0;
    }
  return strains;
}

}  // namespace

SettingBar::SettingBar(const Composite& composite, const MeasuredCurve& curve)
    : composite_(composite), height_(curve.height), yield_(curve.frame / curve.area) {}

void SettingBar::step(const CureState& before, const CureState& after, double duration) {
  const ChainSteps chains = chains_of(composite_, before, after, duration);
  const Moduli moduli = tangent(chains);
  const Vector6d kept = sum(setstress::after(chains, chains_, Vector6d::Zero()));
  const double free = free_between(composite_, before, after);
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

SettingDisc::SettingDisc(const Composite& composite, const MeasuredCurve& curve)
    : composite_(composite), yield_(curve.frame / curve.area * curve.height) {
  const double slenderness = std::sqrt(curve.area / std::acos(-1.0)) / (0.5 * curve.height);
  shear_ = bulk_ = Eigen::MatrixXd::Zero(coefficients, coefficients);
  dilation_ = displacement_ = inner_ = Eigen::VectorXd::Zero(coefficients);
  for (Borne& chain : chains_) chain.shear = chain.bulk = displacement_;
  for (const auto& [x, in_radius] : gauss<radial_points>())
    for (const auto& [z, in_height] : gauss<axial_points>()) {
      const double weight = 2 * x * in_radius * in_height;
      const Eigen::MatrixXd strain = strains_at(x, z, slenderness);
      const Eigen::MatrixXd normal = strain.topRows(3), sheared = strain.bottomRows(1);
      const Eigen::RowVectorXd dilation = normal.colwise().sum();
      shear_ += weight * (2 * normal.transpose() * normal - 2.0 / 3.0 * dilation.transpose() * dilation +
                          sheared.transpose() * sheared);
      bulk_ += weight * dilation.transpose() * dilation;
      dilation_ += weight * dilation.transpose();
    }
}

Eigen::VectorXd SettingDisc::force(const Borne& borne) const {
  return shear_ * borne.shear + bulk_ * borne.bulk - borne.free * dilation_;
}

void SettingDisc::step(const CureState& before, const CureState& after, double duration) {
  const ChainSteps steps = chains_of(composite_, before, after, duration);
  const Moduli moduli = tangent(steps);
  const double free = 3 * free_between(composite_, before, after);
  Borne kept{Eigen::VectorXd::Zero(coefficients), Eigen::VectorXd::Zero(coefficients)};
  for (std::size_t c = 0; c < chains_.size(); ++c) {
    kept.shear += steps[c].left * chains_[c].shear;
    kept.bulk += steps[c].left * chains_[c].bulk;
    kept.free += steps[c].left * chains_[c].free;
  }
  // What is out of balance as long as nothing moves: kept stress, what shrinks, and the frame.
  Eigen::VectorXd load = moduli.bulk * free * dilation_ - force(kept);
  load(0) -= yield_ * displacement_(0);
  Eigen::MatrixXd stiffness = moduli.shear * shear_ + moduli.bulk * bulk_;
  stiffness(0, 0) += yield_;
  const Eigen::VectorXd moved = stiffness.llt().solve(load);
  displacement_ += moved;
  for (std::size_t c = 0; c < chains_.size(); ++c) {
    const ChainStep& step = steps[c];
    chains_[c].shear = step.left * chains_[c].shear + step.built * step.mean.shear * moved;
    chains_[c].bulk = step.left * chains_[c].bulk + step.built * step.mean.bulk * moved;
    chains_[c].free = step.left * chains_[c].free + step.built * step.mean.bulk * free;
  }
  inner_ = force(kept) + moduli.shear * (shear_ * moved) + moduli.bulk * (bulk_ * moved) -
           moduli.bulk * free * dilation_;
}

std::unique_ptr<SettingSpecimen> setting_specimen(const Composite& composite, const MeasuredCurve& curve) {
  if (curve.disc) return std::make_unique<SettingDisc>(composite, curve);
  return std::make_unique<SettingBar>(composite, curve);
}

}  // namespace setstress
