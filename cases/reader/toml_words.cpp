#include "cases/reader/toml_words.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>

namespace setstress {

std::string place_of(const toml::node& node) {
  const std::string file = node.source().path ? *node.source().path : std::string("?");
  return node.source().begin.line > 0 ? fmt::format("{}:{}", file, node.source().begin.line) : file;
}

std::string kind_of(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::table:
      return "a table";
    case toml::node_type::array:
      return "a list";
    case toml::node_type::string:
      return fmt::format("the text \"{}\"", shortened(node.as_string()->get()));
    case toml::node_type::integer:
      return fmt::format("the number {}", node.as_integer()->get());
    case toml::node_type::floating_point:
      return fmt::format("the number {}", node.as_floating_point()->get());
    case toml::node_type::boolean:
      return node.as_boolean()->get() ? "true" : "false";
    default:
      return "a date or time";
  }
}

std::string_view unit_hint(std::string_view unit) {
  if (unit == "mm") return ": lengths are in mm";
  if (unit == "MPa") return ": stresses and moduli are in MPa";
  if (unit == "s") return ": times are in s, or text such as \"5 min\"";
  if (unit == "mW/cm2") return ": irradiance is in mW/cm2";
  if (unit == "deg") return ": angles are in degrees";
  if (unit == "N/mm") return ": fracture energies are in N/mm (1 J/m2 is 0.001 N/mm)";
  return "";
}

std::string describe(const Quantity& q) {
  const bool no_high = std::isinf(q.high), no_low = std::isinf(q.low);
  const std::string low = fmt::format("{} {}", q.above_low ? "above" : "at least", q.low);
  const std::string high = fmt::format("{} {}", q.below_high ? "below" : "at most", q.high);
  if (no_high && no_low) return "any finite number";
  if (no_high) return low;
  if (no_low) return high;
  if (!q.above_low && !q.below_high) return fmt::format("between {} and {}", q.low, q.high);
  return fmt::format("{} and {}", low, high);
}

std::optional<double> seconds_in(const std::string& text) {
  double value = 0;
  const std::size_t first = std::min(text.find_first_not_of(' '), text.size());
  const auto [end, error] = std::from_chars(text.data() + first, text.data() + text.size(), value);
  if (error != std::errc() || !std::isfinite(value)) return {};
  const std::size_t start = text.find_first_not_of(' ', static_cast<std::size_t>(end - text.data()));
  const std::string unit = start == std::string::npos ? "" : text.substr(start);
  static const std::map<std::string, double> seconds{
      {"s", 1.0}, {"min", 60.0}, {"h", 3600.0}, {"d", 86400.0}};
  const auto found = seconds.find(unit);
  if (found == seconds.end()) return {};
  return value * found->second;
}

}  // namespace setstress
