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

/// One step into the summary: a key, and perhaps which element of the list found there.
struct Step {
  std::string_view key;
  std::string_view element;  ///< what stands between the brackets
};

/// Dots inside brackets belong to the element.
std::vector<Step> steps_of(std::string_view path) {
  std::vector<Step> steps;
  while (!path.empty()) {
    const std::size_t end = path.find_first_of(".[");
    Step step{path.substr(0, end), {}};
    path.remove_prefix(std::min(end, path.size()));
    if (!path.empty() && path.front() == '[') {
      const std::size_t close = path.find(']');
      if (close == std::string_view::npos) throw std::invalid_argument("has a bracket that is not closed");
      step.element = trimmed(path.substr(1, close - 1));
      path.remove_prefix(close + 1);
      if (step.element.empty()) throw std::invalid_argument("has empty brackets");
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

std::size_t position_in(std::string_view element) {
  std::size_t position = 0;
  const auto [end, error] = std::from_chars(element.data(), element.data() + element.size(), position);
  return error == std::errc() && end == element.data() + element.size() ? position : 0;
}

bool agrees(const ordered_json& row, std::string_view element) {
  for (const std::string_view condition : split(element, ',')) {
    const auto sides = split(condition, '=');
    const std::string key(sides.front());
    if (sides.size() != 2 || !row.is_object() || !row.contains(key)) return false;
    const ordered_json& value = row[key];
    if ((value.is_string() ? value.get<std::string>() : value.dump()) != sides[1]) return false;
  }
  return true;
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

const ordered_json& element_of(const ordered_json& list, const Step& step) {
  if (!list.is_array()) throw std::out_of_range(fmt::format("\"{}\" in the summary is no list", step.key));
  const std::size_t position = step.element == "last" ? list.size() : position_in(step.element);
  if (position > 0) {
    if (position > list.size())
      throw std::out_of_range(fmt::format("\"{}\" in the summary has {} elements; [{}] is not among them",
                                          step.key, list.size(), step.element));
    return list[position - 1];
  }
  for (const ordered_json& row : list)
    if (agrees(row, step.element)) return row;
  throw std::out_of_range(
      fmt::format("\"{}\" in the summary has no element with {}{}", step.key, step.element, walls_in(list)));
}

double number_at(const ordered_json& summary, std::string_view path) {
  const ordered_json* here = &summary;
  for (const Step& step : steps_of(path)) {
    if (here->is_null()) return std::numeric_limits<double>::quiet_NaN();
    const std::string key(step.key);
    if (!here->is_object() || !here->contains(key)) {
      std::vector<std::string> known;
      if (here->is_object())
        for (const auto& [name, value] : here->items()) known.push_back(name);
      const auto guess = did_you_mean(key, known);
      throw std::out_of_range(fmt::format("the summary has no \"{}\" on the way to \"{}\"; {}it has: {}", key,
                                          path, guess ? fmt::format("did you mean \"{}\"? ", *guess) : "",
                                          fmt::join(known, ", ")));
    }
    here = &(*here)[key];
    if (!step.element.empty()) here = &element_of(*here, step);
  }
  if (here->is_null()) return std::numeric_limits<double>::quiet_NaN();
  if (here->is_boolean()) return here->get<bool>() ? 1 : 0;
  if (!here->is_number()) throw std::out_of_range(fmt::format("\"{}\" in the summary is no number", path));
  return here->get<double>();
}

}  // namespace

void check_path(std::string_view path) {
  for (const std::string_view factor : split(path, '*')) (void)steps_of(factor);
}

double value_at(const ordered_json& summary, std::string_view path) {
  double product = 1;
  for (const std::string_view factor : split(path, '*')) product *= number_at(summary, factor);
  return product;
}

}  // namespace setstress
