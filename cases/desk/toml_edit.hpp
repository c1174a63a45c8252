#pragma once
// Changes to the text of a case file that leave everything else as it stands: order, blanks, comments.

#include <nlohmann/json.hpp>
#include <string>

namespace setstress {

/// `text` with the value at `path` ("preparation.depth", "plan.increment[2].light[1].duration", lists from
/// 1) put in place: a number, a text, true, false, a list of numbers; null takes the key away, or a table
/// with all below it. Throws
/// CaseError where the file is written in a way in which that cannot be done by a change of lines.
std::string with_value(const std::string& text, const std::string& path, const nlohmann::ordered_json& value);

/// Whether the file itself holds a list of tables at `path`, "plan.increment[2].light", rather than a file
/// that it builds on.
bool has_list(const std::string& text, const std::string& path);

/// The tables of the list at `path`, counted from 1, with their lines and comments. `copied`: a copy of table
/// `at` behind it; `removed`: it goes, with what is its own; `moved`: it changes places with the one before.
/// Throws CaseError as with_value().
std::string with_copied(const std::string& text, const std::string& path, std::size_t at);
std::string with_removed(const std::string& text, const std::string& path, std::size_t at);
std::string with_moved(const std::string& text, const std::string& path, std::size_t at);

}  // namespace setstress
