#pragma once
// Case files as tables: laid over each other, and single values put in.

#include <toml++/impl/forward_declarations.h>
#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "cases/reader/toml_reader.hpp"
#include "cases/study/file/value.hpp"

namespace setstress {

/// Lays `above` over `below`: tables key by key, lists and values as a whole, as a case file over its `base`;
/// what `above` lists under `without` is taken back of `below` before.
void lay_over(toml::table& below, const toml::table& above);

/// The layers of a case, the most specific first, as one table without `base`; the paths of materials.include
/// become absolute.
toml::table flattened(const std::vector<std::shared_ptr<const toml::table>>& layers);

/// Paths of materials.include that are relative become absolute, as from `folder`.
void make_includes_absolute(toml::table& layer, const std::filesystem::path& folder);

/// Every value and list of `table` by its dotted key, as TOML text.
std::map<std::string, std::string> leaves_of(const toml::table& table);

/// Throws std::invalid_argument with a sentence where `key` is not written as one.
void check_key(const std::string& key);

/// Puts `value` at a dotted key such as "plan.increment[1].wait" (elements of lists from 1); tables that are
/// missing on the way are made. Throws std::invalid_argument with a sentence where a list has no such element
/// or something else than a table is on the way.
void set_value(toml::table& table, const std::string& key, const Value& value);

/// As a case file, always the same for the same table.
std::string text_of(const toml::table& table);

}  // namespace setstress
