#pragma once
// What a factor can be in one run: a number or a word.

#include <string>
#include <variant>

namespace setstress {

/// A number in the unit of its key (times in s), or a word: the name of a class or of an alternative.
using Value = std::variant<double, std::string>;

/// The word, or the shortest number that reads back as the same one.
std::string text_of(const Value& value);

}  // namespace setstress
