#include "cases/study/file/case_overlay.hpp"

#include <fmt/format.h>

#include <toml++/toml.h>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <sstream>
#include <stdexcept>

#include "cases/reader/case_layers.hpp"

namespace setstress {

namespace {

/// A key and, for lists, which element of it, from 1; 0 for none.
struct KeyStep {
  std::string key;
  std::size_t element;
};

std::vector<KeyStep> steps_of(const std::string& dotted) {
  std::vector<KeyStep> steps;
  std::stringstream parts(dotted);
  for (std::string part; std::getline(parts, part, '.');) {
    KeyStep step{part.substr(0, part.find('[')), 0};
    if (step.key.size() != part.size()) {
      const char* const end = part.data() + part.size();
      const auto [stop, error] = std::from_chars(part.data() + step.key.size() + 1, end, step.element);
      if (error != std::errc() || step.element == 0 || stop + 1 != end || *stop != ']')
        throw std::invalid_argument(
            fmt::format("has \"{}\"; elements of lists are written as increment[1], from 1", part));
    }
    if (step.key.empty()) throw std::invalid_argument("must be keys joined by dots: plan.increment[1].wait");
    steps.push_back(step);
  }
  if (steps.empty()) throw std::invalid_argument("is empty");
  return steps;
}

/// Element `number` of list `name`, opened when it is a table.
toml::node& element_of(toml::node* list, const std::string& name, std::size_t number) {
  toml::array* array = list != nullptr ? list->as_array() : nullptr;
  if (array == nullptr) throw std::invalid_argument(fmt::format("there is no list {} in the case", name));
  if (number > array->size())
    throw std::invalid_argument(
        fmt::format("{} has {} elements in this case; there is no [{}]", name, array->size(), number));
  return (*array)[number - 1];
}

toml::table& table_at(toml::table& table, const KeyStep& step) {
  toml::node* node = table.get(step.key);
  if (step.element > 0)
    node = &element_of(node, step.key, step.element);
  else if (node == nullptr)
    node = &table.insert(step.key, toml::table{}).first->second;
  if (!node->is_table()) throw std::invalid_argument(fmt::format("{} is not a table in this case", step.key));
  return *node->as_table();
}

/// Puts a value as the TOML that a case file would have there.
template <class Put>
void put_as_toml(const Value& value, const Put& put) {
  if (const auto* number = std::get_if<double>(&value)) {
    constexpr double largest_whole = 1e15;
    if (*number == std::floor(*number) && std::abs(*number) < largest_whole)
      put(static_cast<std::int64_t>(*number));
    else
      put(*number);
    return;
  }
  const std::string& word = std::get<std::string>(value);
  if (word == "true" || word == "false")
    put(word == "true");
  else
    put(word);
}

void collect_leaves(const toml::table& table, const std::string& name,
                    std::map<std::string, std::string>& leaves) {
  for (const auto& [key, node] : table) {
    const std::string dotted = name.empty() ? std::string(key.str()) : fmt::format("{}.{}", name, key.str());
    if (const toml::table* inner = node.as_table()) {
      collect_leaves(*inner, dotted, leaves);
      continue;
    }
    std::ostringstream text;
    node.visit([&](const auto& value) { text << value; });
    leaves[dotted] = text.str();
  }
}

}  // namespace

std::map<std::string, std::string> leaves_of(const toml::table& table) {
  std::map<std::string, std::string> leaves;
  collect_leaves(table, "", leaves);
  return leaves;
}

void check_key(const std::string& key) {
  (void)steps_of(key);
}

void set_value(toml::table& table, const std::string& key, const Value& value) {
  const std::vector<KeyStep> steps = steps_of(key);
  toml::table* here = &table;
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) here = &table_at(*here, steps[i]);
  const KeyStep& last = steps.back();
  if (last.element == 0) {
    put_as_toml(value, [&](auto what) { here->insert_or_assign(last.key, std::move(what)); });
    return;
  }
  (void)element_of(here->get(last.key), last.key, last.element);  // refuses what is not there
  toml::array& list = *here->get(last.key)->as_array();
  const auto position = list.cbegin() + static_cast<std::ptrdiff_t>(last.element - 1);
  put_as_toml(value, [&](auto what) { list.replace(position, std::move(what)); });
}

}  // namespace setstress
