#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cctype>

#include "cases/compare/what_differs.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

std::string number_text(const ordered_json& value) {
  if (value.is_string()) return value.get<std::string>();
  return value.is_number_float() ? fmt::format("{:.6g}", value.get<double>()) : value.dump();
}

/// "40 s", "chairside-rule", "flowable, then conventional-paste", "none".
std::string value_text(const ordered_json& value, const std::string& unit) {
  if (value.is_null()) return "none";
  if (value.is_array() && !value.empty() && !value.front().is_array()) {
    std::vector<std::string> words;
    for (const ordered_json& each : value) words.push_back(value_text(each, unit));
    return fmt::format("{}", fmt::join(words, ", then "));
  }
  if (value.is_object() && value.contains("law")) return value.at("law").get<std::string>();
  if (unit == "s" && value.is_number() && value.get<double>() >= 60)
    return duration_text(value.get<double>());
  const std::string text = number_text(value);
  return unit.empty() || unit == "-" ? text : text + " " + unit;
}

std::string difference_text(const Difference& d, const std::string& a, const std::string& b) {
  std::string first = value_text(d.first, d.unit), second = value_text(d.second, d.unit);
  if (first == second) first = d.first.dump(), second = d.second.dump();  // a law by its points, a last digit
  return fmt::format("{} {} in {} and {} in {}", d.name, first, a, second, b);
}

std::vector<std::string> groups_in(const std::vector<Difference>& differences) {
  std::vector<std::string> groups;
  for (const Difference& d : differences)
    if (groups.empty() || groups.back() != d.group) groups.push_back(d.group);
  return groups;
}

}  // namespace

std::vector<std::string> differs_sentences(const std::vector<Difference>& differences, bool placed_alike,
                                           const std::string& first_name, const std::string& second_name) {
  if (differences.empty())
    return {placed_alike ? "They differ in nothing: all inputs are the same."
                         : "They differ in nothing but the plan."};
  const std::vector<std::string> groups = groups_in(differences);
  std::vector<std::string> sentences{
      placed_alike
          ? fmt::format("Both are placed in the same way; they differ in: {}.", fmt::join(groups, ", "))
          : fmt::format(
                "Not all of the difference comes from how they are placed; they differ as well in: {}.",
                fmt::join(groups, ", "))};
  constexpr std::size_t most_named = 4;
  for (const std::string& group : groups) {
    std::vector<std::string> named;
    std::size_t count = 0;
    for (const Difference& d : differences)
      if (d.group == group && ++count <= most_named)
        named.push_back(difference_text(d, first_name, second_name));
    std::string sentence = fmt::format("{}: {}", group, fmt::join(named, "; "));
    sentence.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(sentence.front())));
    if (count > most_named) sentence += fmt::format("; and {} more, see comparison.json", count - most_named);
    sentences.push_back(sentence + ".");
  }
  return sentences;
}

}  // namespace setstress
