#include "cases/study/file/output_path.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <limits>
#include <stdexcept>

#include "cases/reader/toml_reader.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

std::vector<std::string_view> split(std::string_view text, char at) {
  std::vector<std::string_view> parts;
  for (std::size_t end = 0; end != std::string_view::npos;) {
    end = text.find(at);
    parts.push_back(trimmed(text.substr(0, end)));
    if (end != std::string_view::npos) text.remove_prefix(end + 1);
  }
  return parts;
}

std::size_t position_in(std::string_view element) {
  std::size_t position = 0;
  const auto [end, error] = std::from_chars(element.data(), element.data() + element.size(), position);
  return error == std::errc() && end == element.data() + element.size() ? position : 0;
}

/// "wall=floor, substrate=all" as pairs; empty for a position or "last". Throws std::invalid_argument where
/// it is neither.
std::vector<std::pair<std::string, std::string>> conditions_in(std::string_view element) {
  if (element == "last" || position_in(element) > 0) return {};
  std::vector<std::pair<std::string, std::string>> conditions;
  for (const std::string_view condition : split(element, ',')) {
    const auto sides = split(condition, '=');
    if (sides.size() != 2 || sides[0].empty() || sides[1].empty())
      throw std::invalid_argument(fmt::format(
          "has \"[{}]\"; must be a position from 1, last, or conditions such as wall=floor", element));
    conditions.emplace_back(sides[0], sides[1]);
  }
  return conditions;
}

/// Dots inside brackets belong to the element.
std::vector<PathStep> steps_of(std::string_view path) {
  std::vector<PathStep> steps;
  while (!path.empty()) {
    const std::size_t end = path.find_first_of(".[");
    PathStep step{path.substr(0, end), {}, {}};
    path.remove_prefix(std::min(end, path.size()));
    if (!path.empty() && path.front() == '[') {
      const std::size_t close = path.find(']');
      if (close == std::string_view::npos) throw std::invalid_argument("has a bracket that is not closed");
      step.element = trimmed(path.substr(1, close - 1));
      path.remove_prefix(close + 1);
      if (step.element.empty()) throw std::invalid_argument("has empty brackets");
      step.conditions = conditions_in(step.element);
    }
    if (step.key.empty() || (!path.empty() && path.front() != '.'))
      throw std::invalid_argument(
          "must be keys joined by dots, with list elements in brackets: bond[wall=floor].end.mean_gap_um");
    steps.push_back(step);
    if (path.empty()) break;
    path.remove_prefix(1);
    if (path.empty()) throw std::invalid_argument("ends with a dot");
  }
  if (steps.empty()) throw std::invalid_argument("is empty; must be a place in summary.json");
  return steps;
}

bool agrees(const ordered_json& row, const PathStep& step) {
  return !step.conditions.empty() && std::ranges::all_of(step.conditions, [&](const auto& condition) {
    const auto& [key, wanted] = condition;
    if (!row.is_object() || !row.contains(key)) return false;
    const ordered_json& value = row[key];
    return (value.is_string() ? value.get<std::string>() : value.dump()) == wanted;
  });
}

/// What the elements of a list could be picked by, for messages.
std::string walls_in(const ordered_json& list) {
  std::vector<std::string> names;
  for (const ordered_json& row : list)
    if (row.is_object() && row.contains("wall"))
      if (const auto name = row["wall"].get<std::string>();
          std::find(names.begin(), names.end(), name) == names.end())
        names.push_back(name);
  return names.empty() ? "" : fmt::format("; its walls are: {}", fmt::join(names, ", "));
}

/// Null where the list has no such element.
const ordered_json* found_in(const ordered_json& list, const PathStep& step) {
  const std::size_t position = step.element == "last" ? list.size() : position_in(step.element);
  if (position > 0) return position <= list.size() ? &list[position - 1] : nullptr;
  const auto row = std::ranges::find_if(list, [&](const ordered_json& each) { return agrees(each, step); });
  return row != list.end() ? &*row : nullptr;
}

const ordered_json& element_of(const ordered_json& list, const PathStep& step) {
  if (!list.is_array()) throw std::out_of_range(fmt::format("\"{}\" in the summary is no list", step.key));
  if (const ordered_json* found = found_in(list, step)) return *found;
  if (position_in(step.element) > 0)
    throw std::out_of_range(fmt::format("\"{}\" in the summary has {} elements; [{}] is not among them",
                                        step.key, list.size(), step.element));
  throw std::out_of_range(
      fmt::format("\"{}\" in the summary has no element with {}{}", step.key, step.element, walls_in(list)));
}

const ordered_json& value_of_key(const ordered_json& here, const std::string& key, std::string_view path) {
  if (here.is_object() && here.contains(key)) return here[key];
  if (!here.is_object())
    throw std::out_of_range(
        fmt::format("\"{}\" leads past a number or a word of the summary, or into a list "
                    "without saying which of it, [...]",
                    path));
  std::vector<std::string> known;
  for (const auto& [name, value] : here.items()) known.push_back(name);
  const auto guess = did_you_mean(key, known);
  throw std::out_of_range(fmt::format("the summary has no \"{}\" on the way to \"{}\"; {}it has: {}", key,
                                      path, guess ? fmt::format("did you mean \"{}\"? ", *guess) : "",
                                      fmt::join(known, ", ")));
}

/// Lists of gaps may lack an element in one run and have it in the next.
bool is_list_of_gaps(std::string_view first_key, std::string_view key) {
  return first_key == "gaps" && (key == "gaps" || key == "where" || key == "records");
}

double number_at(const ordered_json& summary, std::string_view path) {
  const ordered_json* here = &summary;
  const std::vector<PathStep> steps = steps_of(path);
  bool is_there = true;
  for (const PathStep& step : steps) {
    if (here->is_null()) return none;
    here = &value_of_key(*here, std::string(step.key), path);
    if (step.element.empty()) continue;
    if (is_list_of_gaps(steps.front().key, step.key) && found_in(*here, step) == nullptr) {
      if (here->empty()) return none;
      is_there = false;
      here = &here->front();  // has the same keys as the one that is missing
      continue;
    }
    here = &element_of(*here, step);
  }
  if (here->is_null()) return none;
  if (!here->is_boolean() && !here->is_number())
    throw std::out_of_range(fmt::format("\"{}\" in the summary is no number", path));
  if (!is_there) return none;
  return here->is_boolean() ? (here->get<bool>() ? 1 : 0) : here->get<double>();
}

}  // namespace

std::vector<std::vector<PathStep>> parsed_path(std::string_view path) {
  std::vector<std::vector<PathStep>> parsed;
  for (const std::string_view factor : split(path, '*')) parsed.push_back(steps_of(factor));
  return parsed;
}

double value_at(const ordered_json& summary, std::string_view path) {
  double product = 1;
  for (const std::string_view factor : split(path, '*')) product *= number_at(summary, factor);
  return product;
}

OutputValues values_of(const std::vector<Output>& outputs, const ordered_json& summary) {
  OutputValues all;
  for (const Output& output : outputs) {
    all.values.push_back(none);
    try {
      all.values.back() = value_at(summary, output.path);
      ++all.found;
    } catch (const std::out_of_range& error) {
      all.missing +=
          fmt::format("{}output {}: {}", all.missing.empty() ? "" : "; ", output.name, error.what());
    }
  }
  return all;
}

}  // namespace setstress
