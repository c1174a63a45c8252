#include "cases/desk/toml_edit.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <optional>
#include <sstream>
#include <vector>

#include "cases/reader/toml_reader.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// One step of a path: a key and, of a list, which element from 0.
struct Step {
  std::string key;
  std::optional<std::size_t> element;
};

std::vector<Step> steps_of(const std::string& path) {
  std::vector<Step> steps;
  std::istringstream parts(path);
  for (std::string part; std::getline(parts, part, '.');) {
    Step step{part, std::nullopt};
    if (const std::size_t bracket = part.find('['); bracket != std::string::npos) {
      step.key = part.substr(0, bracket);
      const int element = std::atoi(part.c_str() + bracket + 1);
      if (element < 1 || element > 1000)
        throw CaseError(fmt::format("{} is no place in a case file", shortened(path)));
      step.element = static_cast<std::size_t>(element - 1);
    }
    const auto allowed = [](unsigned char c) { return std::isalnum(c) != 0 || c == '_' || c == '-'; };
    if (step.key.empty() || !std::all_of(step.key.begin(), step.key.end(), allowed))
      throw CaseError(fmt::format("{} is no place in a case file", shortened(path)));
    steps.push_back(step);
  }
  if (steps.empty() || steps.back().element)
    throw CaseError(fmt::format("{} is no key of a case file", shortened(path)));
  return steps;
}

[[noreturn]] void refuse(const std::string& what) {
  throw CaseError(
      fmt::format("{} is written in a way in this file that the desk does not change; change it in a text "
                  "editor, or save the plan under a new name as one whole file",
                  what));
}

std::string literal(const ordered_json& value) {
  if (value.is_boolean()) return value.get<bool>() ? "true" : "false";
  if (value.is_number()) {
    std::string number = fmt::format("{}", value.get<double>());
    return number.find_first_of(".en") == std::string::npos ? number + ".0" : number;
  }
  if (value.is_array()) {
    std::string list;
    for (const ordered_json& each : value) list += (list.empty() ? "" : ", ") + literal(each);
    return "[" + list + "]";
  }
  if (value.is_object()) {
    std::string table;
    for (const auto& [key, each] : value.items())
      table += fmt::format("{}{} = {}", table.empty() ? "" : ", ", steps_of(key).front().key, literal(each));
    return "{" + table + "}";
  }
  if (!value.is_string())
    throw CaseError("a value must be a number, a text, true or false, or a list of these");
  return value.dump();  // JSON writes texts as TOML reads them
}

/// Whether a table, or a list of tables, is written below headings of its own.
bool has_headings(const toml::node& node) {
  if (const toml::table* table = node.as_table()) return !table->is_inline();
  return node.is_array_of_tables() && !node.as_array()->get(0)->as_table()->is_inline();
}

/// Copies of a table do not know their places in the text.
std::shared_ptr<toml::table> parsed(const std::string& text) {
  return parse_toml(text, "this case");
}

/// The table that holds the last key of a path; null where it is not there.
toml::table* holder(toml::table& root, const std::vector<Step>& steps) {
  toml::table* here = &root;
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
    toml::node* node = here->get(steps[i].key);
    if (node != nullptr && steps[i].element) {
      const toml::array* list = node->as_array();
      node = list != nullptr && *steps[i].element < list->size()
                 ? const_cast<toml::node*>(list->get(*steps[i].element))
                 : nullptr;
    }
    if (node == nullptr) return nullptr;
    if (!node->is_table()) refuse(steps[i].key);
    here = node->as_table();
  }
  return here;
}

/// Where a place of the source stands in the text. Columns count characters of UTF-8.
std::size_t offset_of(const std::string& text, const toml::source_position& at) {
  std::size_t offset = 0;
  for (toml::source_index line = 1; line < at.line; ++line) offset = text.find('\n', offset) + 1;
  for (toml::source_index column = 1; column < at.column && offset < text.size(); ++column) do
      ++offset;
    while (offset < text.size() && (static_cast<unsigned char>(text[offset]) & 0xc0U) == 0x80U);
  return offset;
}

std::size_t line_begin(const std::string& text, std::size_t offset) {
  const std::size_t before = offset == 0 ? std::string::npos : text.rfind('\n', offset - 1);
  return before == std::string::npos ? 0 : before + 1;
}
std::size_t line_end(const std::string& text, std::size_t offset) {
  const std::size_t end = text.find('\n', offset);
  return end == std::string::npos ? text.size() : end + 1;
}

/// End of the last line that a table's own keys take, or of its heading.
std::size_t end_of_own_keys(const std::string& text, const toml::table& table) {
  std::size_t end =
      table.source().begin.line == 0 ? 0 : line_end(text, offset_of(text, table.source().begin));
  for (const auto& [key, node] : table) {
    if (!has_headings(node) && node.source().end.line != 0)
      end = std::max(end, line_end(text, offset_of(text, node.source().end) - 1));
  }
  return end;
}

std::string heading(const std::vector<Step>& steps) {
  std::string name;
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) name += (name.empty() ? "" : ".") + steps[i].key;
  return name;
}

/// Whether a table has a heading of its own, rather than being there only through those below it.
bool has_own_heading(const std::string& text, const toml::table& table, const std::vector<Step>& steps) {
  if (steps.size() == 1) return true;
  if (table.source().begin.line == 0) return false;
  const std::size_t at = line_begin(text, offset_of(text, table.source().begin));
  const std::string line = text.substr(at, line_end(text, at) - at);
  std::string squeezed;
  for (const char c : line)
    if (std::isspace(static_cast<unsigned char>(c)) == 0) squeezed += c;
  const std::string name = heading(steps);
  return squeezed.starts_with("[" + name + "]") || squeezed.starts_with("[[" + name + "]]");
}

std::string with_line(std::string text, std::size_t at, const std::string& line) {
  if (at > 0 && text[at - 1] != '\n') text.insert(at++, "\n");
  return text.insert(at, line);
}

std::string added(const std::string& text, const std::vector<Step>& steps, toml::table* table,
                  const std::string& value) {
  const std::string pair = fmt::format("{} = {}", steps.back().key, value), line = pair + "\n";
  if (table != nullptr && table->is_inline()) {
    const std::size_t brace = offset_of(text, table->source().end) - 1;
    if (text[brace] != '}') refuse(heading(steps));
    return text.substr(0, brace) + (table->empty() ? "" : ", ") + pair + text.substr(brace);
  }
  if (table != nullptr && has_own_heading(text, *table, steps))
    return with_line(text, end_of_own_keys(text, *table), line);
  for (std::size_t i = 0; i + 1 < steps.size(); ++i)
    if (steps[i].element) refuse(heading(steps));
  return with_line(text, text.size(), fmt::format("\n[{}]\n{}", heading(steps), line));
}

/// Takes out every heading of a table and of those below it, with the lines that follow each.
std::string without_table(const std::string& text, const std::string& path) {
  std::string kept;
  bool inside = false;
  for (std::size_t at = 0; at < text.size(); at = line_end(text, at)) {
    const std::string line = text.substr(at, line_end(text, at) - at);
    std::string squeezed;
    for (const char c : line)
      if (std::isspace(static_cast<unsigned char>(c)) == 0) squeezed += c;
    if (squeezed.starts_with('['))
      inside = squeezed.starts_with("[" + path + "]") || squeezed.starts_with("[" + path + ".");
    if (!inside) kept += line;
  }
  return kept;
}

/// A pair of an inline table, or an element of a list, goes with the comma that parts it from its neighbour.
std::string without_pair(const std::string& text, std::size_t from, std::size_t to) {
  constexpr const char* blanks = " \t\r\n";
  std::size_t next = text.find_first_not_of(blanks, to);
  if (next != std::string::npos && text[next] == ',') {
    next = text.find_first_not_of(blanks, next + 1);
    return text.substr(0, from) + text.substr(next);
  }
  const std::size_t before = text.find_last_not_of(blanks, from - 1);
  return text.substr(0, text[before] == ',' ? before : from) + text.substr(to);
}

std::string removed(std::string text, const toml::table& table, const std::vector<Step>& steps) {
  const std::string& key = steps.back().key;
  const auto found = table.find(key);
  if (has_headings(found->second)) {
    if (!found->second.is_table()) refuse(key);
    return without_table(text, steps.size() == 1 ? key : heading(steps) + "." + key);
  }
  const std::size_t begin = offset_of(text, found->first.source().begin),
                    end = offset_of(text, found->second.source().end);
  if (table.is_inline()) return without_pair(text, begin, end);
  const std::size_t from = line_begin(text, begin), to = line_end(text, end - 1);
  return text.erase(from, to - from);
}

/// Edits of lines are trusted only where they read as they should, and change nothing else.
std::string trusted(std::string text, const toml::table& wanted, const std::string& path) {
  try {
    if (*parsed(text) == wanted) return text;
  } catch (const CaseError&) {  // no case file any more
  }
  refuse(path);
}

void put(toml::table& table, const std::string& key, const std::string& value) {
  const toml::table one = toml::parse(fmt::format("x = {}", value));
  one.get("x")->visit([&](const auto& node) { table.insert_or_assign(key, node); });
}

toml::table& made_holder(toml::table& root, const std::vector<Step>& steps) {
  toml::table* here = &root;
  for (std::size_t i = 0; i + 1 < steps.size(); ++i) {
    toml::node* next = here->get(steps[i].key);
    if (next == nullptr) next = &here->insert(steps[i].key, toml::table{}).first->second;
    if (steps[i].element) next = next->as_array()->get(*steps[i].element);
    here = next->as_table();
  }
  return *here;
}

}  // namespace

std::string with_value(const std::string& text, const std::string& path, const ordered_json& value) {
  const std::vector<Step> steps = steps_of(path);
  const auto whole = parsed(text);
  toml::table& root = *whole;
  toml::table* table = holder(root, steps);
  const std::string& key = steps.back().key;
  const toml::node* there = table != nullptr ? table->get(key) : nullptr;
  if (value.is_null()) {
    if (there == nullptr) return text;
    std::string after = removed(text, *table, steps);
    table->erase(key);
    return trusted(std::move(after), root, path);
  }
  const std::string written = literal(value);
  std::string after;
  if (there != nullptr) {
    const std::size_t from = offset_of(text, there->source().begin),
                      to = offset_of(text, there->source().end);
    if (has_headings(*there) || from >= to || to > text.size()) refuse(path);
    after = text.substr(0, from) + written + text.substr(to);
  } else {
    after = added(text, steps, table, written);
  }
  put(made_holder(root, steps), key, written);
  return trusted(std::move(after), root, path);
}

namespace {

struct Block {
  std::size_t from, to;  ///< in the text, [from, to)
};

/// The lines below each heading [[NAME]] within `where`, with the headings below it.
std::vector<Block> blocks_of(const std::string& text, const std::string& name, const Block& where) {
  std::vector<Block> blocks;
  bool inside = false;
  for (std::size_t at = where.from; at < where.to; at = line_end(text, at)) {
    std::string line = text.substr(at, line_end(text, at) - at);
    line.erase(0, line.find_first_not_of(" \t"));
    if (!line.starts_with('[')) continue;
    const bool begins = line.starts_with("[[" + name + "]]");
    const bool below = line.starts_with("[[" + name + ".") || line.starts_with("[" + name + ".");
    if (inside && !below) blocks.back().to = at;
    if (begins) blocks.push_back({at, where.to});
    inside = begins || (inside && below);
  }
  return blocks;
}

/// A list of tables in a text: where each of them stands.
struct List {
  toml::array* values;
  bool is_inline;  ///< {...}, {...}
  std::vector<Block> blocks;
};

std::vector<Block> inline_blocks(const std::string& text, const toml::array& values) {
  std::vector<Block> blocks;
  for (const toml::node& each : values)
    blocks.push_back({offset_of(text, each.source().begin), offset_of(text, each.source().end)});
  return blocks;
}

std::vector<Block> heading_blocks(const std::string& text, const std::vector<Step>& steps) {
  Block where{0, text.size()};
  std::string name;
  for (const Step& step : steps) {
    name += (name.empty() ? "" : ".") + step.key;
    if (!step.element) continue;
    const std::vector<Block> around = blocks_of(text, name, where);
    if (*step.element >= around.size()) refuse(name);
    where = around[*step.element];
  }
  return blocks_of(text, name, where);
}

/// Refuses a list of which not every element is a table that stands in the text by itself.
List list_at(const std::string& text, toml::table& root, const std::string& path, std::size_t at) {
  const std::vector<Step> steps = steps_of(path);
  toml::table* table = holder(root, steps);
  toml::node* node = table == nullptr ? nullptr : table->get(steps.back().key);
  if (node == nullptr || !node->is_array_of_tables()) refuse(path);
  List list{node->as_array(), !has_headings(*node), {}};
  list.blocks = list.is_inline ? inline_blocks(text, *list.values) : heading_blocks(text, steps);
  if (list.blocks.size() != list.values->size()) refuse(path);
  if (at < 1 || at > list.blocks.size())
    throw CaseError(fmt::format("there is no {}[{}]; the file has {}", path, at, list.blocks.size()));
  return list;
}

std::string ended(std::string block) {
  if (!block.ends_with('\n')) block += '\n';
  return block;
}

std::string text_of(const std::string& text, const Block& block) {
  return text.substr(block.from, block.to - block.from);
}

}  // namespace

bool has_list(const std::string& text, const std::string& path) {
  const auto whole = parsed(text);
  const std::vector<Step> steps = steps_of(path);
  const toml::table* table = holder(*whole, steps);
  const toml::node* node = table == nullptr ? nullptr : table->get(steps.back().key);
  return node != nullptr && node->is_array_of_tables();
}

std::string with_copied(const std::string& text, const std::string& path, std::size_t at) {
  const auto whole = parsed(text);
  List list = list_at(text, *whole, path, at);
  const Block block = list.blocks[at - 1];
  const toml::table copy = *list.values->get(at - 1)->as_table();
  list.values->insert(list.values->begin() + static_cast<std::ptrdiff_t>(at), copy);
  if (list.is_inline)
    return trusted(std::string(text).insert(block.to, ", " + text_of(text, block)), *whole, path);
  std::string lines = ended(text_of(text, block));
  if (!lines.ends_with("\n\n")) lines.insert(0, "\n");
  return trusted(with_line(text, block.to, lines), *whole, path);
}

std::string with_removed(const std::string& text, const std::string& path, std::size_t at) {
  const auto whole = parsed(text);
  List list = list_at(text, *whole, path, at);
  if (list.blocks.size() == 1)
    throw CaseError(fmt::format("{} has one entry, and needs at least that", path));
  list.values->erase(list.values->begin() + static_cast<std::ptrdiff_t>(at - 1));
  const Block block = list.blocks[at - 1];
  return trusted(list.is_inline ? without_pair(text, block.from, block.to)
                                : std::string(text).erase(block.from, block.to - block.from),
                 *whole, path);
}

std::string with_moved(const std::string& text, const std::string& path, std::size_t at) {
  const auto whole = parsed(text);
  List list = list_at(text, *whole, path, at);
  if (at < 2) throw CaseError(fmt::format("the first of {} has none before it", path));
  const toml::table second = *list.values->get(at - 1)->as_table();
  list.values->erase(list.values->begin() + static_cast<std::ptrdiff_t>(at - 1));
  list.values->insert(list.values->begin() + static_cast<std::ptrdiff_t>(at - 2), second);
  const Block &before = list.blocks[at - 2], &block = list.blocks[at - 1];
  const auto whole_lines = [&](const Block& each) {
    return list.is_inline ? text_of(text, each) : ended(text_of(text, each));
  };
  const std::string between = text.substr(before.to, block.from - before.to);
  return trusted(text.substr(0, before.from) + whole_lines(block) + between + whole_lines(before) +
                     text.substr(block.to),
                 *whole, path);
}

}  // namespace setstress
