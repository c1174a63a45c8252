#pragma once
// Private to cases/reader: the words of its messages, and times written in words.

#include <toml++/impl/forward_declarations.h>

#include <optional>
#include <string>
#include <string_view>

#include "cases/reader/toml_reader.hpp"

namespace setstress {

/// "file.toml:31".
std::string place_of(const toml::node& node);

/// What stands there: "a table", "the number 3", "the text \"x\"".
std::string kind_of(const toml::node& node);

/// "above 0 and at most 0.5".
std::string describe(const Quantity& q);

/// ": lengths are in mm"; empty for units that need no word.
std::string_view unit_hint(std::string_view unit);

/// Seconds in "5 min"; empty when it is not a time.
std::optional<double> seconds_in(const std::string& text);

}  // namespace setstress
