#include "cases/study/report/report_data.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace setstress {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

double number_of(const ResultRow& row, std::size_t output) {
  return row.status == RunStatus::done ? row.outputs.at(output) : none;
}

bool all_numbers(const ResultTable& table, std::size_t factor) {
  return std::all_of(table.rows.begin(), table.rows.end(), [factor](const ResultRow& row) {
    return std::holds_alternative<double>(row.inputs.at(factor));
  });
}

}  // namespace

RunCounts counts_of(const ResultTable& table) {
  RunCounts counts;
  for (const ResultRow& row : table.rows) switch (row.status) {
      case RunStatus::done:
        ++counts.done;
        break;
      case RunStatus::failed:
        ++counts.failed;
        break;
      case RunStatus::refused:
        ++counts.refused;
        break;
      case RunStatus::planned:
        ++counts.planned;
        break;
    }
  return counts;
}

std::vector<FactorColumn> factor_columns(const ResultTable& table) {
  std::vector<FactorColumn> columns;
  for (std::size_t f = 0; f < table.factors.size(); ++f) {
    const FactorColumnInfo& info = table.factors[f];
    FactorColumn column{info.label.empty() ? info.name : info.label, {}, {}};
    const bool numbers = all_numbers(table, f);
    for (const ResultRow& row : table.rows)
      if (numbers)
        column.numbers.push_back(std::get<double>(row.inputs[f]));
      else
        column.words.push_back(text_of(row.inputs[f]));
    columns.push_back(std::move(column));
  }
  return columns;
}

std::vector<std::size_t> varied(const std::vector<FactorColumn>& factors) {
  std::vector<std::size_t> found;
  for (std::size_t f = 0; f < factors.size(); ++f)
    if (levels_of(factors[f]).size() > 1) found.push_back(f);
  return found;
}

std::vector<double> output_column(const ResultTable& table, std::size_t output) {
  std::vector<double> values;
  for (const ResultRow& row : table.rows) values.push_back(number_of(row, output));
  return values;
}

std::vector<double> drawn_outputs(const ResultTable& table, std::size_t output) {
  std::vector<double> values;
  for (const ResultRow& row : table.rows)
    if (table.design != Design::sobol_indices || row.block < 2) values.push_back(number_of(row, output));
  return values;
}

std::vector<int> draws_of(const ResultTable& table) {
  std::vector<int> draws;
  if (table.crossed.empty()) return draws;
  for (const ResultRow& row : table.rows) draws.push_back(row.point);
  return draws;
}

int with_value(const std::vector<double>& values) {
  return static_cast<int>(
      std::count_if(values.begin(), values.end(), [](double value) { return !std::isnan(value); }));
}

std::size_t nominal_row(const ResultTable& table) {
  for (std::size_t r = 0; r < table.rows.size(); ++r) {
    const ResultRow& row = table.rows[r];
    bool nominal = row.status == RunStatus::done;
    for (std::size_t f = 0; f < table.factors.size(); ++f)
      nominal = nominal && row.inputs[f] == table.factors[f].nominal;
    if (nominal) return r;
  }
  return table.rows.size();
}

IndexSample index_sample(const ResultTable& table, std::size_t output) {
  if (table.design != Design::sobol_indices)
    throw std::invalid_argument("Sobol indices cannot be computed from a design of kind " +
                                name_of(table.design));
  std::size_t points = 0;
  for (const ResultRow& row : table.rows) points = std::max(points, static_cast<std::size_t>(row.point) + 1);
  const std::vector<double> empty(points, none);
  IndexSample sample{empty, empty, std::vector<std::vector<double>>(table.factors.size(), empty)};
  for (const ResultRow& row : table.rows) {
    const auto point = static_cast<std::size_t>(row.point);
    std::vector<double>& block = row.block == 0   ? sample.a
                                 : row.block == 1 ? sample.b
                                                  : sample.a_b.at(static_cast<std::size_t>(row.block - 2));
    block[point] = number_of(row, output);
  }
  return sample;
}

std::size_t chair_time_output(const ResultTable& table) {
  const auto found =
      std::find_if(table.outputs.begin(), table.outputs.end(),
                   [](const OutputColumnInfo& output) { return output.path == "chair_time_s"; });
  return static_cast<std::size_t>(found - table.outputs.begin());
}

bool is_random(Design design) {
  switch (design) {
    case Design::grid:
    case Design::one_at_a_time:
      return false;
    case Design::latin_hypercube:
    case Design::sobol:
    case Design::random:
    case Design::sobol_indices:
      return true;
  }
  throw std::logic_error("a design that is neither random nor not");
}

}  // namespace setstress
