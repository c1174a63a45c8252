#include "cases/reader/toml_reader.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <toml++/toml.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <numeric>
#include <set>

namespace setstress {

/// Shared by all sections of one reading: the files, kept alive, what was asked of each table and what was
/// answered.
struct Section::Record {
  std::vector<std::shared_ptr<const toml::table>> files;
  std::map<const toml::table*, std::set<std::string, std::less<>>> asked;
  std::set<const toml::table*> taken;  ///< as they stand
  nlohmann::ordered_json resolved = nlohmann::ordered_json::object();
};

namespace {

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
      return fmt::format("the text \"{}\"", node.as_string()->get());
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

/// Seconds in "5 min"; empty when it is not a time.
std::optional<double> seconds_in(const std::string& text) {
  std::size_t used = 0;
  double value = 0;
  try {
    value = std::stod(text, &used);
  } catch (const std::logic_error&) {
    return {};
  }
  const std::size_t start = text.find_first_not_of(' ', used);
  const std::string unit = start == std::string::npos ? "" : text.substr(start);
  static const std::map<std::string, double> seconds{
      {"s", 1.0}, {"min", 60.0}, {"h", 3600.0}, {"d", 86400.0}};
  const auto found = seconds.find(unit);
  if (found == seconds.end()) return {};
  return value * found->second;
}

}  // namespace

std::shared_ptr<const toml::table> parse_toml(const std::filesystem::path& file) {
  if (!std::filesystem::is_regular_file(file))
    throw CaseError(fmt::format("{}: there is no such file", file.string()));
  try {
    return std::make_shared<const toml::table>(toml::parse_file(file.string()));
  } catch (const toml::parse_error& error) {
    const auto at = error.source().begin;
    if (at.line == 0) throw CaseError(fmt::format("{}: {}", file.string(), error.description()));
    throw CaseError(fmt::format("{}:{}: not TOML at column {}: {}", file.string(), at.line, at.column,
                                error.description()));
  }
}

Section::Section(std::vector<std::shared_ptr<const toml::table>> layers)
    : record_(std::make_shared<Record>()) {
  for (const auto& layer : layers) layers_.push_back(layer.get());
  record_->files = std::move(layers);
}

Section::Section(std::shared_ptr<Record> record, std::vector<const toml::table*> layers, std::string name)
    : record_(std::move(record)), layers_(std::move(layers)), name_(std::move(name)) {}

const toml::node* Section::find(std::string_view key) const {
  const toml::node* found = nullptr;
  for (const toml::table* layer : layers_) {
    record_->asked[layer].emplace(key);
    if (found == nullptr) found = layer->get(key);
  }
  return found;
}

const toml::node& Section::need(std::string_view key) const {
  if (const toml::node* node = find(key)) return *node;
  const auto guess = did_you_mean(key, keys());
  fail(key, guess ? fmt::format("is missing; is \"{}\" meant to be it?", *guess) : "is missing");
}

template <class Value>
Value Section::noted(std::string_view key, Value value, std::string_view unit) const {
  nlohmann::ordered_json entry{{"value", value}};
  if (!unit.empty()) entry["unit"] = unit;
  entry["from"] = find(key) != nullptr ? place(key) : "default";
  record_->resolved[dotted(key)] = entry;
  return value;
}

const nlohmann::ordered_json& Section::resolved() const {
  return record_->resolved;
}

bool Section::has(std::string_view key) const {
  return find(key) != nullptr;
}
bool Section::is_text(std::string_view key) const {
  return has(key) && find(key)->is_string();
}
bool Section::is_array(std::string_view key) const {
  return has(key) && find(key)->is_array();
}
bool Section::is_table(std::string_view key) const {
  return has(key) && find(key)->is_table();
}

Section Section::section(std::string_view key) const {
  std::vector<const toml::table*> inner;
  (void)find(key);
  for (const toml::table* layer : layers_)
    if (const toml::node* node = layer->get(key)) {
      if (!node->is_table())
        fail(key, fmt::format("is {}; must be a table, [{}]", kind_of(*node), dotted(key)));
      inner.push_back(node->as_table());
    }
  return {record_, inner, dotted(key)};
}

Section Section::top_section(std::string_view key) const {
  const toml::node& node = need(key);
  if (!node.is_table()) fail(key, fmt::format("is {}; must be a table, [{}]", kind_of(node), dotted(key)));
  for (const toml::table* layer : layers_)
    if (const toml::table* hidden = layer->get_as<toml::table>(key))
      for (const auto& [inner, value] : *hidden) record_->asked[hidden].emplace(inner.str());
  return {record_, {node.as_table()}, dotted(key)};
}

std::vector<Section> Section::sections(std::string_view key) const {
  std::vector<Section> all;
  const toml::node* node = find(key);
  if (node == nullptr) return all;
  const std::string wrong =
      fmt::format("is {}; must be a list of tables, [[{}]]", kind_of(*node), dotted(key));
  if (!node->is_array()) fail(key, wrong);
  for (const toml::node& element : *node->as_array()) {
    if (!element.is_table()) fail(key, wrong);
    record_->asked[element.as_table()];  // opened, unlike the elements of a list that lies below
    all.push_back({record_, {element.as_table()}, fmt::format("{}[{}]", dotted(key), all.size() + 1)});
  }
  return all;
}

std::vector<std::string> Section::keys() const {
  std::set<std::string> all;
  for (const toml::table* layer : layers_)
    for (const auto& [key, node] : *layer) all.emplace(key.str());
  return {all.begin(), all.end()};
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
  return noted(key, checked_number(key, need(key), allowed), allowed.unit);
}

double Section::number(std::string_view key, const Quantity& allowed, double fallback) const {
  return has(key) ? number(key, allowed) : noted(key, fallback, allowed.unit);
}

double Section::time(std::string_view key, const Quantity& allowed) const {
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
  const std::string value = text(key);
  if (std::find(choices.begin(), choices.end(), value) != choices.end()) return value;
  const auto guess = did_you_mean(value, choices);
  fail(key,
       fmt::format("is \"{}\"; {}must be one of: {}", value,
                   guess ? fmt::format("did you mean \"{}\"? It ", *guess) : "", fmt::join(choices, ", ")));
}

std::string Section::choice(std::string_view key, const std::vector<std::string>& choices,
                            std::string_view fallback) const {
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

const toml::table& Section::table(std::string_view key) const {
  const toml::node& node = need(key);
  if (!node.is_table()) fail(key, fmt::format("is {}; must be a table, [{}]", kind_of(node), dotted(key)));
  record_->taken.insert(node.as_table());
  return *node.as_table();
}

std::string Section::place(std::string_view key) const {
  if (const toml::node* node = find(key)) return place_of(*node);
  if (!layers_.empty()) return place_of(*layers_.front());
  return record_->files.empty() ? std::string() : *record_->files.front()->source().path;
}

std::filesystem::path Section::folder(std::string_view key) const {
  const toml::node* node = find(key);
  const toml::node& holder = node != nullptr ? *node : *record_->files.front();
  return holder.source().path ? std::filesystem::path(*holder.source().path).parent_path()
                              : std::filesystem::path();
}

std::string Section::dotted(std::string_view key) const {
  return name_.empty() ? std::string(key) : fmt::format("{}.{}", name_, key);
}

void Section::fail(std::string_view key, std::string_view sentence) const {
  throw CaseError(fmt::format("{}: {} {}", place(key), dotted(key), sentence));
}

void Section::refuse_unknown_keys() const {
  for (const toml::table* layer : layers_)
    for (const auto& [key, node] : *layer) {
      const auto& asked = record_->asked[layer];
      if (asked.contains(key.str())) {
        refuse_unknown_inside(node, dotted(key.str()));
        continue;
      }
      const std::vector<std::string> known(asked.begin(), asked.end());
      const auto guess = did_you_mean(key.str(), known);
      throw CaseError(fmt::format(
          "{}: {} is not a key that is used here; {}known here: {}", place_of(node), dotted(key.str()),
          guess ? fmt::format("did you mean \"{}\"? ", *guess) : "", fmt::join(known, ", ")));
    }
}

void Section::refuse_unknown_inside(const toml::node& node, const std::string& name) const {
  if (node.is_table() && !record_->taken.contains(node.as_table()))
    Section(record_, {node.as_table()}, name).refuse_unknown_keys();
  if (!node.is_array()) return;
  std::size_t position = 0;
  for (const toml::node& element : *node.as_array()) {
    ++position;
    // Elements that were never opened lie below a list that replaces theirs.
    if (const toml::table* table = element.as_table(); table != nullptr && record_->asked.contains(table))
      Section(record_, {table}, fmt::format("{}[{}]", name, position)).refuse_unknown_keys();
  }
}

}  // namespace setstress
