#include "cases/fit/measured_table.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fstream>

#include "cases/reader/toml_reader.hpp"

namespace setstress {
namespace {

std::string trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(" \t\r\"");
  if (first == std::string_view::npos) return "";
  return std::string(text.substr(first, text.find_last_not_of(" \t\r\"") - first + 1));
}

std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells;
  std::size_t from = 0;
  for (std::size_t to; (to = line.find(',', from)) != std::string::npos; from = to + 1)
    cells.push_back(trimmed(std::string_view(line).substr(from, to - from)));
  cells.push_back(trimmed(std::string_view(line).substr(from)));
  return cells;
}

std::string allowed_headings(const std::vector<ColumnWanted>& wanted) {
  std::vector<std::string> headings;
  for (const ColumnWanted& column : wanted)
    for (const ColumnUnit& unit : column.units)
      headings.push_back(fmt::format("{} [{}]", column.name, unit.unit));
  return fmt::format("{}", fmt::join(headings, ", "));
}

/// Where a wanted column stands in the file, and its unit.
struct Found {
  std::size_t column;
  double factor;
  bool present = false;
};

void match(const std::string& place, const std::string& heading, std::size_t column,
           const std::vector<ColumnWanted>& wanted, std::vector<Found>& found) {
  const auto open = heading.find('['), close = heading.find(']');
  if (open == std::string::npos || close == std::string::npos || close < open)
    throw CaseError(fmt::format("{}, column {}: the heading \"{}\" has no unit; must be one of: {}", place,
                                column + 1, shortened(heading), allowed_headings(wanted)));
  if (close + 1 < heading.size())
    throw CaseError(
        fmt::format("{}, column {}: the heading \"{}\" goes on after its unit; columns must be "
                    "parted by commas",
                    place, column + 1, shortened(heading)));
  const std::string name = trimmed(heading.substr(0, open)),
                    unit = trimmed(heading.substr(open + 1, close - open - 1));
  for (std::size_t w = 0; w < wanted.size(); ++w) {
    if (wanted[w].name != name) continue;
    for (const ColumnUnit& known : wanted[w].units)
      if (known.unit == unit && !found[w].present) {
        found[w] = {column, known.factor, true};
        return;
      }
  }
  throw CaseError(fmt::format("{}, column {}: the heading is \"{}\"; must be one of, each once: {}", place,
                              column + 1, shortened(heading), allowed_headings(wanted)));
}

void require_all(const std::string& place, const std::vector<ColumnWanted>& wanted,
                 const std::vector<Found>& found) {
  for (std::size_t w = 0; w < wanted.size(); ++w)
    if (!found[w].present && !wanted[w].optional)
      throw CaseError(fmt::format("{}: there is no column \"{} [{}]\"", place, wanted[w].name,
                                  wanted[w].units.front().unit));
}

double number_of(const std::string& place, const std::string& cell, const std::string& heading) {
  double value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (error != std::errc() || end != cell.data() + cell.size() || !std::isfinite(value))
    throw CaseError(fmt::format("{}, column \"{}\": is \"{}\"; must be a number with a decimal point", place,
                                heading, shortened(cell)));
  return value;
}

}  // namespace

MeasuredTable::MeasuredTable(const std::filesystem::path& file, const std::vector<ColumnWanted>& wanted)
    : file_(file), columns_(wanted.size()) {
  if (!is_file(file)) throw CaseError(fmt::format("{}: {}", file.string(), why_no_file(file)));
  std::ifstream stream(file);
  std::size_t width = 0;
  std::vector<Found> found(wanted.size());
  std::string line;
  for (int row = 1; std::getline(stream, line); ++row) {
    if (trimmed(line).empty() || line.front() == '#') continue;
    const std::string place = fmt::format("{}:{}", file.string(), row);
    const std::vector<std::string> cells = cells_of(line);
    if (width == 0) {
      width = cells.size();
      for (std::size_t c = 0; c < cells.size(); ++c) match(place, cells[c], c, wanted, found);
      require_all(place, wanted, found);
      for (std::size_t w = 0; w < wanted.size(); ++w)
        if (found[w].present) columns_[w] = {cells[found[w].column], found[w].factor, {}};
      continue;
    }
    if (cells.size() != width)
      throw CaseError(fmt::format("{}: has {} columns; the heading has {}", place, cells.size(), width));
    rows_.push_back(row);
    for (std::size_t w = 0; w < wanted.size(); ++w)
      if (found[w].present)
        columns_[w].values.push_back(found[w].factor *
                                     number_of(place, cells[found[w].column], columns_[w].heading));
  }
}

void MeasuredTable::fail(std::size_t value, std::size_t column, std::string_view sentence) const {
  const Column& at_fault = columns_[column];
  throw CaseError(fmt::format("{}:{}, column \"{}\": is {:.6g}; {}", file_.string(), rows_[value],
                              at_fault.heading, at_fault.values[value] / at_fault.factor, sentence));
}

}  // namespace setstress
