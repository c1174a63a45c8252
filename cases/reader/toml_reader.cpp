#include "cases/reader/toml_reader.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <toml++/toml.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "cases/reader/toml_depth.hpp"
#include "cases/reader/toml_words.hpp"

namespace setstress {

/// Shared by all sections of one reading: the files, kept alive, what was asked of each table and what was
/// answered.
struct Section::Record {
  std::vector<std::shared_ptr<const toml::table>> files;
  std::map<const toml::table*, std::set<std::string, std::less<>>> asked;
  std::set<const toml::table*> taken;  ///< as they stand
  nlohmann::ordered_json resolved = nlohmann::ordered_json::object();
  nlohmann::ordered_json allowed = nlohmann::ordered_json::object();
};

namespace {

/// What the parser says of a fault, as the end of a sentence.
std::string in_our_words(std::string_view description) {
  if (description.find("invalid utf-8") != std::string_view::npos)
    return ": this is no text in UTF-8; save the file as such";
  constexpr std::string_view lead = "Error while parsing ", top = "root table: ";
  if (const std::size_t at = description.find(top); at == lead.size())
    return fmt::format(": {}", shortened(description.substr(at + top.size())));
  if (description.starts_with(lead))
    return fmt::format(", in a {}", shortened(description.substr(lead.size())));
  return fmt::format(": {}", shortened(description));
}

}  // namespace

std::shared_ptr<toml::table> parse_toml(const std::filesystem::path& file) {
  if (const std::string why = why_no_file(file); !why.empty())
    throw CaseError(fmt::format("{}: {}", shortened(file.string()), why));
  std::ifstream stream(file, std::ios::binary);
  std::ostringstream text;
  text << stream.rdbuf();
  if (!stream) throw CaseError(fmt::format("{}: cannot be read: {}", file.string(), std::strerror(errno)));
  return parse_toml(text.str(), file.string());
}

std::shared_ptr<toml::table> parse_toml(const std::string& text, const std::string& name) {
  refuse_deep_keys(text, name);
  const std::filesystem::path file = name;
  try {
    return std::make_shared<toml::table>(toml::parse(text, name));
  } catch (const toml::parse_error& error) {
    const auto at = error.source().begin;
    const std::string place = at.line == 0 ? file.string() : fmt::format("{}:{}", file.string(), at.line);
    throw CaseError(
        fmt::format("{}: not TOML at column {}{}", place, at.column, in_our_words(error.description())));
  }
}

bool is_file(const std::filesystem::path& path) {
  std::error_code ignored;
  return std::filesystem::is_regular_file(path, ignored);
}

std::string why_no_file(const std::filesystem::path& path) {
  std::error_code failure;
  if (std::filesystem::is_regular_file(path, failure)) return "";
  if (failure == std::errc::too_many_symbolic_link_levels) return "is a link that leads back to itself";
  if (failure == std::errc::filename_too_long) return "has a name that is longer than this system allows";
  if (failure == std::errc::permission_denied) return "lies in a folder that you may not look into";
  if (std::filesystem::is_directory(path, failure)) return "is a folder; a file is wanted";
  if (std::filesystem::exists(path, failure)) return "is no ordinary file";
  return "there is no such file";
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

void Section::note(std::string_view key, nlohmann::ordered_json entry) const {
  entry["from"] = find(key) != nullptr ? place(key) : "default";
  record_->resolved[dotted(key)] = std::move(entry);
}

const nlohmann::ordered_json& Section::resolved() const {
  return record_->resolved;
}

void Section::allow(std::string_view key, nlohmann::ordered_json what) const {
  record_->allowed[dotted(key)] = std::move(what);
}

const nlohmann::ordered_json& Section::allowed() const {
  return record_->allowed;
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
    if (const toml::table* hidden = layer->get_as<toml::table>(key); hidden != nullptr && hidden != &node)
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
      throw CaseError(fmt::format("{}: {} is not a key that is used here; {}known here: {}", place_of(node),
                                  shortened(dotted(key.str())),
                                  guess ? fmt::format("did you mean \"{}\"? ", *guess) : "",
                                  fmt::join(known, ", ")));
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
