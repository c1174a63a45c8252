// The typed values of a section: what each may be, and the sentence where it is not.

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <toml++/toml.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cases/reader/toml_reader.hpp"
#include "cases/reader/toml_words.hpp"

namespace setstress {

namespace {

nlohmann::ordered_json limits_of(const Quantity& allowed) {
  nlohmann::ordered_json limits{{"unit", allowed.unit}, {"low", allowed.low}, {"high", allowed.high}};
  if (allowed.above_low) limits["above_low"] = true;
  if (allowed.below_high) limits["below_high"] = true;
  return limits;
}

/// Says of a key that is missing what it must be.
void require_given(const Section& section, std::string_view key, const std::string& rule) {
  if (section.has(key)) return;
  const auto guess = did_you_mean(key, section.keys());
  section.fail(key, fmt::format("is missing{}; must be {}",
                                guess ? fmt::format("; is \"{}\" meant to be it?", *guess) : "", rule));
}

}  // namespace

template <class Value>
Value Section::noted(std::string_view key, Value value, std::string_view unit) const {
  nlohmann::ordered_json entry{{"value", value}};
  if (!unit.empty()) entry["unit"] = unit;
  note(key, std::move(entry));
  return value;
}

double Section::checked(std::string_view key, double value, const Quantity& allowed) const {
  const bool low = allowed.above_low ? value > allowed.low : value >= allowed.low;
  const bool high = allowed.below_high ? value < allowed.high : value <= allowed.high;
  if (!std::isfinite(value) || !low || !high)
    fail(key, fmt::format("is {} [{}]; must be {}{}", value, allowed.unit, describe(allowed),
                          unit_hint(allowed.unit)));
  return value;
}

double Section::checked_number(std::string_view key, const toml::node& node, const Quantity& allowed) const {
  if (!node.is_number())
    fail(key,
         fmt::format("is {}; must be a number [{}], {}", kind_of(node), allowed.unit, describe(allowed)));
  return checked(key, *node.value<double>(), allowed);
}

double Section::number(std::string_view key, const Quantity& allowed) const {
  allow(key, limits_of(allowed));
  require_given(*this, key, fmt::format("a number [{}], {}", allowed.unit, describe(allowed)));
  return noted(key, checked_number(key, need(key), allowed), allowed.unit);
}

double Section::number(std::string_view key, const Quantity& allowed, double fallback) const {
  allow(key, limits_of(allowed));
  return has(key) ? number(key, allowed) : noted(key, fallback, allowed.unit);
}

double Section::time(std::string_view key, const Quantity& allowed) const {
  allow(key, limits_of(allowed));
  require_given(*this, key, "a time: a number of seconds, or text such as \"90 s\", \"5 min\", \"24 h\"");
  const toml::node& node = need(key);
  if (!node.is_string()) return noted(key, checked_number(key, node, allowed), allowed.unit);
  const auto seconds = seconds_in(node.as_string()->get());
  if (!seconds)
    fail(key, fmt::format(
                  "is {}; must be a time: a number of seconds, or text such as \"90 s\", \"5 min\", \"24 h\"",
                  kind_of(node)));
  return noted(key, checked(key, *seconds, allowed), allowed.unit);
}

double Section::time(std::string_view key, const Quantity& allowed, double fallback) const {
  allow(key, limits_of(allowed));
  return has(key) ? time(key, allowed) : noted(key, fallback, allowed.unit);
}

std::vector<double> Section::numbers(std::string_view key, const Quantity& allowed) const {
  const toml::node& node = need(key);
  if (!node.is_array())
    fail(key, fmt::format("is {}; must be a list of numbers [{}]", kind_of(node), allowed.unit));
  std::vector<double> values;
  for (const toml::node& element : *node.as_array()) values.push_back(checked_number(key, element, allowed));
  return noted(key, values, allowed.unit);
}

std::vector<std::pair<double, double>> Section::pairs(std::string_view key, const Quantity& first,
                                                      const Quantity& second) const {
  const toml::node& node = need(key);
  const std::string rule =
      fmt::format("must be a list of pairs, [[{0}, {1}], [{0}, {1}], ...]", first.unit, second.unit);
  if (!node.is_array()) fail(key, fmt::format("is {}; {}", kind_of(node), rule));
  std::vector<std::pair<double, double>> values;
  for (const toml::node& element : *node.as_array()) {
    const toml::array* pair = element.as_array();
    if (pair == nullptr || pair->size() != 2) fail(key, fmt::format("holds {}; {}", kind_of(element), rule));
    values.emplace_back(checked_number(key, (*pair)[0], first), checked_number(key, (*pair)[1], second));
  }
  return values;
}

Eigen::Vector3d Section::vector(std::string_view key, const Quantity& allowed) const {
  const std::vector<double> values = numbers(key, allowed);
  if (values.size() != 3) fail(key, fmt::format("has {} numbers; must have three, x y z", values.size()));
  return {values[0], values[1], values[2]};
}

int Section::whole_number(std::string_view key, int low, int high, int fallback) const {
  if (!has(key)) return noted(key, fallback);
  const toml::node& node = need(key);
  const std::string rule = fmt::format("must be a whole number between {} and {}", low, high);
  if (!node.is_integer()) fail(key, fmt::format("is {}; {}", kind_of(node), rule));
  const std::int64_t value = node.as_integer()->get();
  if (value < low || value > high) fail(key, fmt::format("is {}; {}", value, rule));
  return noted(key, static_cast<int>(value));
}

std::string Section::text(std::string_view key) const {
  const toml::node& node = need(key);
  if (!node.is_string()) fail(key, fmt::format("is {}; must be text in quotes", kind_of(node)));
  return noted(key, node.as_string()->get());
}

std::string Section::text(std::string_view key, std::string_view fallback) const {
  return has(key) ? text(key) : noted(key, std::string(fallback));
}

std::vector<std::string> Section::texts(std::string_view key) const {
  const toml::node& node = need(key);
  if (!node.is_array()) fail(key, fmt::format("is {}; must be a list of texts", kind_of(node)));
  std::vector<std::string> values;
  for (const toml::node& element : *node.as_array()) {
    if (!element.is_string()) fail(key, fmt::format("holds {}; must be a list of texts", kind_of(element)));
    values.push_back(element.as_string()->get());
  }
  return noted(key, values);
}

bool Section::flag(std::string_view key, bool fallback) const {
  if (!has(key)) return noted(key, fallback);
  const toml::node& node = need(key);
  if (!node.is_boolean()) fail(key, fmt::format("is {}; must be true or false", kind_of(node)));
  return noted(key, node.as_boolean()->get());
}

std::string Section::choice(std::string_view key, const std::vector<std::string>& choices) const {
  allow(key, {{"choices", choices}});
  require_given(*this, key, fmt::format("one of: {}", fmt::join(choices, ", ")));
  const std::string value = text(key);
  if (std::find(choices.begin(), choices.end(), value) != choices.end()) return value;
  const auto guess = did_you_mean(value, choices);
  fail(key,
       fmt::format("is \"{}\"; {}must be one of: {}", value,
                   guess ? fmt::format("did you mean \"{}\"? It ", *guess) : "", fmt::join(choices, ", ")));
}

std::string Section::choice(std::string_view key, const std::vector<std::string>& choices,
                            std::string_view fallback) const {
  allow(key, {{"choices", choices}});
  return has(key) ? choice(key, choices) : noted(key, std::string(fallback));
}

std::variant<double, std::string> Section::value_in(std::string_view key, const toml::node& node) const {
  if (node.is_number()) return *node.value<double>();
  if (const auto* flag = node.as_boolean()) return std::string(flag->get() ? "true" : "false");
  const auto* text = node.as_string();
  if (text == nullptr)
    fail(key, fmt::format("holds {}; must be a number, text, true or false", kind_of(node)));
  if (const auto seconds = seconds_in(text->get())) return *seconds;
  return text->get();
}

std::variant<double, std::string> Section::value(std::string_view key) const {
  return value_in(key, need(key));
}

std::vector<std::variant<double, std::string>> Section::values(std::string_view key) const {
  const toml::node& node = need(key);
  if (!node.is_array() || node.as_array()->empty())
    fail(key, fmt::format("is {}; must be a list of one value or more",
                          node.is_array() ? "an empty list" : kind_of(node)));
  std::vector<std::variant<double, std::string>> values;
  for (const toml::node& element : *node.as_array()) values.push_back(value_in(key, element));
  return values;
}

}  // namespace setstress
