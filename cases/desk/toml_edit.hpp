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

/// The blocks [[plan.increment]] are counted from 1. `copied`: a copy of block `at` behind it; `removed`: it
/// goes, with what is its own; `moved`: it changes places with the one before. Throws CaseError as
/// with_value().
std::string with_increment_copied(const std::string& text, std::size_t at);
std::string with_increment_removed(const std::string& text, std::size_t at);
std::string with_increment_moved(const std::string& text, std::size_t at);

}  // namespace setstress
