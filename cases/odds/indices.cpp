#include "cases/odds/indices.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>
#include <numeric>

#include "cases/study/statistics/distribution.hpp"

namespace setstress {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// A function of one input or two, over the draws, and which inputs.
struct Term {
  std::vector<std::size_t> inputs;
  VectorXd values;  ///< by draw
};

/// Functions of first degree, then second, of one input, orthonormal under its distribution.
struct OneInput {
  std::vector<VectorXd> first, second;
};

/// Hermite polynomials of the logarithm of a factor.
OneInput of_factor(const Spread& spread, const VectorXd& x) {
  const double deviation = std::sqrt(std::log1p(spread.cov * spread.cov));
  const Eigen::ArrayXd z = x.array().log() / deviation;
  return {{z.matrix()}, {((z.square() - 1) / std::sqrt(2.0)).matrix()}};
}

/// Legendre polynomials of a value between two ends.
OneInput of_range(double low, double high, const VectorXd& x) {
  const Eigen::ArrayXd t = (2 * x.array() - low - high) / (high - low);
  return {{(std::sqrt(3.0) * t).matrix()}, {(std::sqrt(5.0) * (1.5 * t.square() - 0.5)).matrix()}};
}

/// Contrasts between alternatives: each against those after it.
OneInput of_laws(const Spread& spread, const VectorXd& x) {
  OneInput functions;
  double rest = std::accumulate(spread.weights.begin(), spread.weights.end(), 0.0);
  const double all = rest;
  for (std::size_t law = 0; law + 1 < spread.laws.size(); ++law) {
    const double own = spread.weights[law] / all, later = (rest - spread.weights[law]) / all;
    rest -= spread.weights[law];
    if (!(own > 0) || !(later > 0)) continue;
    const double up = std::sqrt(later / (own * (own + later))), down = -up * own / later;
    const auto here = static_cast<double>(law);
    functions.first.emplace_back(x.unaryExpr([=](double which) {
      return which < here ? 0.0 : which == here ? up : down;
    }));
  }
  return functions;
}

OneInput functions_of(const Spread& spread, const VectorXd& x) {
  if (!spread.laws.empty()) return of_laws(spread, x);
  if (spread.cov > 0) return of_factor(spread, x);
  return spread.logarithmic ? of_range(std::log(spread.low), std::log(spread.high), x.array().log().matrix())
                            : of_range(spread.low, spread.high, x);
}

/// All functions that may be chosen: of one input, then of two.
std::vector<Term> candidates(const std::vector<Spread>& spreads, const MatrixXd& values) {
  std::vector<Term> terms;
  std::vector<Term> first;
  for (std::size_t i = 0; i < spreads.size(); ++i) {
    const OneInput own = functions_of(spreads[i], values.col(static_cast<Index>(i)));
    for (const VectorXd& each : own.first) first.push_back({{i}, each});
    for (const VectorXd& each : own.second) terms.push_back({{i}, each});
  }
  terms.insert(terms.end(), first.begin(), first.end());
  for (std::size_t a = 0; a < first.size(); ++a)
    for (std::size_t b = a + 1; b < first.size(); ++b)
      if (first[a].inputs != first[b].inputs)
        terms.push_back(
            {{first[a].inputs[0], first[b].inputs[0]}, first[a].values.cwiseProduct(first[b].values)});
  return terms;
}

MatrixXd matrix_of(const std::vector<Term>& terms, const std::vector<std::size_t>& chosen) {
  MatrixXd matrix(terms.front().values.size(), static_cast<Index>(chosen.size()) + 1);
  matrix.col(0).setOnes();
  for (std::size_t c = 0; c < chosen.size(); ++c)
    matrix.col(static_cast<Index>(c) + 1) = terms[chosen[c]].values;
  return matrix;
}

struct Fit {
  VectorXd residual;
  double left_out;  ///< mean square error of draws left out, corrected for few draws; infinite: undetermined
};

Fit fit(const MatrixXd& matrix, const VectorXd& y) {
  const auto n = static_cast<double>(matrix.rows()), p = static_cast<double>(matrix.cols());
  const Eigen::LDLT<MatrixXd> normal(matrix.transpose() * matrix);
  const MatrixXd inverse = normal.solve(MatrixXd::Identity(matrix.cols(), matrix.cols()));
  const VectorXd residual = y - matrix * (inverse * (matrix.transpose() * y));
  double sum = 0;
  for (Index i = 0; i < matrix.rows(); ++i) {
    const double leverage = matrix.row(i) * inverse * matrix.row(i).transpose();
    sum += std::pow(residual(i) / std::max(1 - leverage, 1e-9), 2);
  }
  return {residual, sum / (n - p) * (1 + inverse.trace())};
}

struct Chosen {
  std::vector<std::size_t> terms;
  double left_out;
};

/// Adds the function that goes best with what is left, as long as that may predict better.
Chosen choose(const std::vector<Term>& terms, const VectorXd& y) {
  const std::size_t most = static_cast<std::size_t>(y.size()) / 5;
  constexpr int patience = 6;  // functions added without a better prediction
  Fit now = fit(matrix_of(terms, {}), y);
  Chosen best{{}, now.left_out};
  std::vector<std::size_t> chosen;
  for (int in_vain = 0; chosen.size() < most && in_vain < patience; ++in_vain) {
    std::size_t next = terms.size();
    double along = 0;
    for (std::size_t t = 0; t < terms.size(); ++t) {
      if (std::ranges::find(chosen, t) != chosen.end()) continue;
      const double own = std::abs(terms[t].values.dot(now.residual)) / terms[t].values.norm();
      if (own > along) along = own, next = t;
    }
    if (next == terms.size()) break;
    chosen.push_back(next);
    now = fit(matrix_of(terms, chosen), y);
    if (now.left_out < best.left_out) best = {chosen, now.left_out}, in_vain = -1;
  }
  return best;
}

struct Shares {
  VectorXd first, total;  ///< by input
};

/// Sums of squares of the coefficients, less what noise alone adds to a square.
Shares shares_of(const MatrixXd& matrix, const VectorXd& y, const std::vector<Term>& terms,
                 const std::vector<std::size_t>& chosen, std::size_t inputs) {
  const Eigen::LDLT<MatrixXd> normal(matrix.transpose() * matrix);
  const VectorXd coefficients = normal.solve(matrix.transpose() * y);
  const double noise = (y - matrix * coefficients).squaredNorm() /
                       static_cast<double>(matrix.rows() - matrix.cols()) /
                       static_cast<double>(matrix.rows());
  Shares shares{VectorXd::Zero(static_cast<Index>(inputs)), VectorXd::Zero(static_cast<Index>(inputs))};
  double all = 0;
  for (std::size_t c = 0; c < chosen.size(); ++c) {
    const double square = std::max(0.0, std::pow(coefficients(static_cast<Index>(c) + 1), 2) - noise);
    const std::vector<std::size_t>& of = terms[chosen[c]].inputs;
    all += square;
    if (of.size() == 1) shares.first(static_cast<Index>(of[0])) += square;
    for (const std::size_t input : of) shares.total(static_cast<Index>(input)) += square;
  }
  if (all > 0) shares.first /= all, shares.total /= all;
  return shares;
}

std::vector<VarianceShare> estimates(const VectorXd& found, const std::vector<VectorXd>& resampled) {
  constexpr double below = 0.025, above = 0.975;
  std::vector<VarianceShare> all;
  for (Index i = 0; i < found.size(); ++i) {
    std::vector<double> own;
    for (const VectorXd& each : resampled) own.push_back(each(i));
    all.push_back(
        {found(i), std::min(found(i), quantile(own, below)), std::max(found(i), quantile(own, above))});
  }
  return all;
}

}  // namespace

std::optional<InputIndices> input_indices(const std::vector<Spread>& spreads,
                                          const std::vector<std::vector<double>>& values,
                                          const std::vector<double>& differences, int resamples,
                                          std::uint64_t seed) {
  std::vector<std::size_t> whole;
  for (std::size_t d = 0; d < differences.size(); ++d)
    if (!std::isnan(differences[d])) whole.push_back(d);
  if (whole.size() < static_cast<std::size_t>(fewest_for_indices) || spreads.empty()) return std::nullopt;
  MatrixXd inputs(static_cast<Index>(whole.size()), static_cast<Index>(spreads.size()));
  VectorXd y(static_cast<Index>(whole.size()));
  for (std::size_t d = 0; d < whole.size(); ++d) {
    y(static_cast<Index>(d)) = differences[whole[d]];
    for (std::size_t i = 0; i < spreads.size(); ++i)
      inputs(static_cast<Index>(d), static_cast<Index>(i)) = values.at(whole[d]).at(i);
  }
  const double variance = (y.array() - y.mean()).square().sum() / static_cast<double>(y.size() - 1);
  if (!(variance > 0)) return std::nullopt;
  const std::vector<Term> terms = candidates(spreads, inputs);
  const Chosen chosen = choose(terms, y);
  const double predicted = 1 - chosen.left_out / variance;
  if (!(predicted >= least_predicted)) return std::nullopt;

  const MatrixXd matrix = matrix_of(terms, chosen.terms);
  const Shares found = shares_of(matrix, y, terms, chosen.terms, spreads.size());
  std::vector<VectorXd> first, total;
  boost::random::mt19937_64 generator(seed);
  boost::random::uniform_int_distribution<Index> draw(0, y.size() - 1);
  for (int r = 0; r < resamples; ++r) {
    MatrixXd again(matrix.rows(), matrix.cols());
    VectorXd of(y.size());
    for (Index i = 0; i < y.size(); ++i) {
      const Index from = draw(generator);
      again.row(i) = matrix.row(from);
      of(i) = y(from);
    }
    const Shares shares = shares_of(again, of, terms, chosen.terms, spreads.size());
    first.push_back(shares.first);
    total.push_back(shares.total);
  }
  return InputIndices{estimates(found.first, first), estimates(found.total, total), predicted,
                      static_cast<int>(whole.size())};
}

}  // namespace setstress
