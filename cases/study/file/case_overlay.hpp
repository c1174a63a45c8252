#pragma once
// Case files as tables: single values put in, and all of them listed.

#include <toml++/impl/forward_declarations.h>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "cases/file/flat_case.hpp"
#include "cases/reader/toml_reader.hpp"
#include "cases/study/file/value.hpp"

namespace setstress {

/// Every value and list of `table` by its dotted key, as TOML text.
std::map<std::string, std::string> leaves_of(const toml::table& table);

/// Throws std::invalid_argument with a sentence where `key` is not written as one.
void check_key(const std::string& key);

/// Puts `value` at a dotted key such as "plan.increment[1].wait" (elements of lists from 1); tables that are
/// missing on the way are made. Throws std::invalid_argument with a sentence where a list has no such element
/// or something else than a table is on the way.
void set_value(toml::table& table, const std::string& key, const Value& value);

}  // namespace setstress
