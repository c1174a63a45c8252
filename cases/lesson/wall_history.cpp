#include "cases/lesson/wall_history.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>

#include "viz/files/result_reader.hpp"

namespace setstress {

namespace {

std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells;
  std::istringstream stream(line);
  for (std::string cell; std::getline(stream, cell, ',');) cells.push_back(cell);
  return cells;
}

}  // namespace

std::vector<WallInstant> whole_wall_history(const std::filesystem::path& result, const std::string& wall) {
  const std::filesystem::path file = result / ResultLayout::walls;
  std::ifstream stream(file);
  std::string line;
  if (!std::getline(stream, line))
    throw std::runtime_error(fmt::format("{}: there is no such file, or it is empty", file.string()));
  std::map<std::string, std::size_t> column;
  for (const std::string& name : cells_of(line)) column.emplace(name, column.size());
  for (const char* name :
       {"time_s", "wall", "substrate", "area_mm2", "placed_area_mm2", "stress_to_strength_mean"})
    if (!column.contains(name))
      throw std::runtime_error(fmt::format("{}: lacks the column {}", file.string(), name));
  std::vector<WallInstant> history;
  while (std::getline(stream, line)) {
    const std::vector<std::string> cells = cells_of(line);
    const auto cell = [&](const char* name) { return cells.at(column.at(name)); };
    if (cell("wall") != wall || cell("substrate") != "all") continue;
    constexpr double all_of_it = 0.999;
    if (std::stod(cell("placed_area_mm2")) < all_of_it * std::stod(cell("area_mm2"))) continue;
    history.push_back({std::stod(cell("time_s")), std::stod(cell("stress_to_strength_mean"))});
  }
  return history;
}

}  // namespace setstress
