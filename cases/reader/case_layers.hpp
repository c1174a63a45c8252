#pragma once
// A case file and those that it builds on: which lie below which, and what is taken back of them.

#include <toml++/impl/forward_declarations.h>

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "cases/reader/toml_reader.hpp"

namespace setstress {

/// The tables of a case, the most specific first.
using CaseLayers = std::vector<std::shared_ptr<toml::table>>;

/// Key of a case file whose value lists keys of its base that it takes back.
inline constexpr const char* taken_back_key = "without";

/// The file and, below it, the chain of files that its `base` builds on, less what those above take back and
/// less their titles and notes, which tell of those files alone. A base is a file relative to the one that
/// names it, or the name of a ready-made case. Throws CaseError.
CaseLayers case_layers(const std::filesystem::path& file);
/// The same below a table that was parsed before, under the name of a file.
CaseLayers case_layers(std::shared_ptr<toml::table> top);

/// Removes the dotted `key` from `table`; false where it is not there.
bool take_back(toml::table& table, const std::string& key);

}  // namespace setstress
