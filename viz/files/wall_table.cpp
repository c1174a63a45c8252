#include "viz/files/wall_table.hpp"

#include <fmt/format.h>

#include <charconv>
#include <fstream>
#include <stdexcept>

#include "viz/files/result_reader.hpp"

namespace setstress {

namespace {

/// Cells of a line; commas inside quotes do not part them.
std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char letter : line) {
    if (letter == '"')
      quoted = !quoted;
    else if (letter == ',' && !quoted)
      cells.emplace_back();
    else
      cells.back() += letter;
  }
  return cells;
}

}  // namespace

WallTable::WallTable(const std::filesystem::path& result_folder)
    : file_(result_folder / ResultLayout::walls) {
  std::ifstream stream(file_);
  std::string line;
  if (!std::getline(stream, line))
    throw std::runtime_error(fmt::format("{}: there is no such file, or it is empty", file_.string()));
  for (const std::string& name : cells_of(line)) column_.emplace(name, column_.size());
  while (std::getline(stream, line)) {
    cells_.push_back(cells_of(line));
    if (cells_.back().size() != column_.size())
      throw std::runtime_error(fmt::format("{}:{}: has {} cells; must have {}, one a column", file_.string(),
                                           cells_.size() + 1, cells_.back().size(), column_.size()));
  }
}

void WallTable::require(const std::string& column) const {
  if (!has(column)) throw std::runtime_error(fmt::format("{}: lacks the column {}", file_.string(), column));
}

const std::string& WallTable::text(std::size_t row, const std::string& column) const {
  require(column);
  return cells_.at(row).at(column_.at(column));
}

std::optional<double> WallTable::number(std::size_t row, const std::string& column) const {
  const std::string& cell = text(row, column);
  if (cell.empty()) return std::nullopt;
  double number = 0;
  const char* const end = cell.data() + cell.size();
  if (const auto [last, failure] = std::from_chars(cell.data(), end, number);
      failure != std::errc() || last != end)
    throw std::runtime_error(
        fmt::format("{}:{}: {} is \"{}\"; must be a number", file_.string(), row + 2, column, cell));
  return number;
}

}  // namespace setstress
