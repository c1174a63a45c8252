#include "cases/study/statistics/adjusted.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

namespace setstress {

namespace {

using Columns = std::vector<Eigen::VectorXd>;

Eigen::VectorXd centred(const Eigen::VectorXd& column) {
  return column.array() - column.mean();
}

/// A column a word but the first, over `runs`.
void add_words(const FactorColumn& factor, const std::vector<std::size_t>& runs, Columns& columns) {
  std::map<std::string, std::size_t> numbers;
  for (const std::size_t run : runs) numbers.emplace(factor.words[run], numbers.size());
  for (const auto& [word, number] : numbers) {
    if (number == 0) continue;
    Eigen::VectorXd column(static_cast<Eigen::Index>(runs.size()));
    for (std::size_t i = 0; i < runs.size(); ++i)
      column[static_cast<Eigen::Index>(i)] = factor.words[runs[i]] == word ? 1 : 0;
    columns.push_back(centred(column));
  }
}

/// Powers of a number to `degree`, each free of the mean, over `runs`.
void add_powers(const FactorColumn& factor, const std::vector<std::size_t>& runs, int degree,
                Columns& columns) {
  Eigen::VectorXd column(static_cast<Eigen::Index>(runs.size()));
  for (std::size_t i = 0; i < runs.size(); ++i)
    column[static_cast<Eigen::Index>(i)] = factor.numbers[runs[i]];
  column = centred(column);
  const double size = column.cwiseAbs().maxCoeff();
  if (!(size > 0)) return;  // does not vary here
  column /= size;
  columns.push_back(column);
  const bool two_values =
      ((column.array() - column.minCoeff()) * (column.array() - column.maxCoeff())).abs().maxCoeff() < 1e-9;
  if (degree > 1 && !two_values) columns.push_back(centred(column.cwiseProduct(column)));
}

/// Constants of the levels that have runs, in their order; empty where they cannot be told.
std::optional<Eigen::VectorXd> constants(const std::vector<int>& level_of, int levels, const Columns& others,
                                         const Eigen::VectorXd& values) {
  const Eigen::Index n = values.size(), p = levels + static_cast<Eigen::Index>(others.size());
  if (n < 2 * p) return std::nullopt;
  Eigen::MatrixXd design = Eigen::MatrixXd::Zero(n, p);
  for (Eigen::Index i = 0; i < n; ++i) design(i, level_of[static_cast<std::size_t>(i)]) = 1;
  for (std::size_t c = 0; c < others.size(); ++c)
    design.col(levels + static_cast<Eigen::Index>(c)) = others[c];
  Eigen::ColPivHouseholderQR<Eigen::MatrixXd> solver(design);
  solver.setThreshold(1e-8);
  if (solver.rank() < p) return std::nullopt;
  return Eigen::VectorXd(solver.solve(values).head(levels));
}

}  // namespace

std::optional<std::vector<double>> adjusted_means(const std::vector<Level>& levels, std::size_t f,
                                                  const std::vector<FactorColumn>& factors,
                                                  const std::vector<double>& output) {
  std::vector<std::size_t> runs, filled;
  std::vector<int> level_of;
  for (std::size_t l = 0; l < levels.size(); ++l) {
    const std::size_t before = runs.size();
    for (const std::size_t run : levels[l].runs)
      if (!std::isnan(output.at(run))) {
        runs.push_back(run);
        level_of.push_back(static_cast<int>(filled.size()));
      }
    if (runs.size() > before) filled.push_back(l);
  }
  if (runs.empty()) return std::nullopt;
  Eigen::VectorXd values(static_cast<Eigen::Index>(runs.size()));
  for (std::size_t i = 0; i < runs.size(); ++i) values[static_cast<Eigen::Index>(i)] = output[runs[i]];
  for (const int degree : {2, 1}) {
    Columns others;
    for (std::size_t g = 0; g < factors.size(); ++g) {
      if (g == f) continue;
      if (factors[g].is_number())
        add_powers(factors[g], runs, degree, others);
      else
        add_words(factors[g], runs, others);
    }
    const auto found = constants(level_of, static_cast<int>(filled.size()), others, values);
    if (!found) continue;
    std::vector<double> means(levels.size(), std::numeric_limits<double>::quiet_NaN());
    for (std::size_t i = 0; i < filled.size(); ++i) means[filled[i]] = (*found)[static_cast<Eigen::Index>(i)];
    return means;
  }
  return std::nullopt;
}

}  // namespace setstress
