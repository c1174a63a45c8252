#pragma once
// Private to viz/charts: lines of words that fit where a chart has room for them.

#include <string>
#include <vector>

namespace setstress {

/// `text` in lines of at most `most` letters, parted after a space, hyphen, point or underscore; a part that
/// is longer has a line of its own.
std::vector<std::string> wrapped(const std::string& text, std::size_t most);

/// `text`, or its start and an ellipsis where it has more than `most` letters.
std::string shortened(const std::string& text, std::size_t most);

}  // namespace setstress
