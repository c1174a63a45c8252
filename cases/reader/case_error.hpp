#pragma once
// What is thrown where the input is at fault.

#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace setstress {

/// The input is at fault; what() is a whole sentence with file, line, key, value and what is allowed.
struct CaseError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// `text` for a message: in one line, of a long one the beginning, and how much more there is.
std::string shortened(std::string_view text);

/// The candidate closest to `word`, when it is close enough to be a slip of the pen.
std::optional<std::string> did_you_mean(std::string_view word, const std::vector<std::string>& candidates);

}  // namespace setstress
