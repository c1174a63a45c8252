#include "tests/solved_case.hpp"

#include <fmt/format.h>

#include <cmath>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "tests/end_to_end/program.hpp"

namespace setstress::testing {

namespace {

/// The cells of one line of comma-separated values; quotes around a cell are dropped.
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

WallLine wall_line(const TableLine& line) {
  WallLine read{number_in(line, "time_s"), line.at("event"), line.at("wall"), line.at("substrate"), {}};
  for (const auto& [heading, cell] : line)
    if (heading != "event" && heading != "wall" && heading != "substrate" && !cell.empty())
      read.numbers[heading] = std::stod(cell);
  return read;
}

}  // namespace

double number_in(const TableLine& line, const std::string& heading) {
  return std::stod(line.at(heading));
}

SolvedCase::SolvedCase(const std::string& case_text, const std::string& options) {
  scratch_.write("case.toml", case_text);
  const Ended ended = run_program("run case.toml --quiet --out result " + options, scratch_.path());
  if (ended.code != 0)
    throw std::runtime_error(fmt::format("setstress ended with {}:\n{}", ended.code, ended.output));
  summary_ = json_of(folder() / ResultLayout::summary);
  manifest_ = json_of(folder() / ResultLayout::manifest);
  result_ = read_result(folder());
}

const nlohmann::json& SolvedCase::bond_row(const std::string& wall, const std::string& substrate) const {
  for (const nlohmann::json& row : summary_.at("bond"))
    if (row.at("wall") == wall && row.at("substrate") == substrate) return row;
  throw std::out_of_range(fmt::format("the summary has no wall {} and substrate {}", wall, substrate));
}

std::vector<TableLine> SolvedCase::table(const std::string& name) const {
  std::istringstream text(content(folder() / name));
  std::string line;
  std::getline(text, line);
  const std::vector<std::string> headings = cells_of(line);
  std::vector<TableLine> lines;
  while (std::getline(text, line)) {
    const std::vector<std::string> cells = cells_of(line);
    TableLine& read = lines.emplace_back();
    for (std::size_t c = 0; c < headings.size(); ++c) read[headings[c]] = cells.at(c);
  }
  return lines;
}

std::vector<WallLine> SolvedCase::walls(const std::string& wall, const std::string& substrate) const {
  std::vector<WallLine> lines;
  for (const TableLine& line : table(ResultLayout::walls))
    if ((wall.empty() || line.at("wall") == wall) && (substrate.empty() || line.at("substrate") == substrate))
      lines.push_back(wall_line(line));
  return lines;
}

const ResultFrame& SolvedCase::frame_near(double time) const {
  const ResultFrame* nearest = &result_.frames.at(0);
  for (const ResultFrame& frame : result_.frames)
    if (std::abs(frame.time - time) <= std::abs(nearest->time - time)) nearest = &frame;
  return *nearest;
}

BondSurface SolvedCase::bond(double time) const {
  return read_bond(frame_near(time).bond);
}

VolumeCells SolvedCase::volume(double time) const {
  return read_volume(frame_near(time).volume);
}

std::string SolvedCase::mesh_text() const {
  const nlohmann::json& mesh = manifest_.at("mesh");
  return fmt::format("{} tetrahedra, {} unknowns", mesh.at("tetrahedra").get<int>(),
                     mesh.at("unknowns").get<int>());
}

std::string refusal_of(const std::string& case_text) {
  const ScratchFolder folder;
  folder.write("case.toml", case_text);
  const Ended ended = run_program("run case.toml --quiet --out result", folder.path());
  if (ended.code == 0) throw std::runtime_error("setstress ran a case that was to be refused");
  return ended.output;
}

}  // namespace setstress::testing
