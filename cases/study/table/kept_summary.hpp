#pragma once
// The summary of a run as the database keeps it: JSON text compressed by zlib, which anything that knows zlib
// reads.

#include <string>
#include <string_view>

namespace setstress {

/// `text` compressed by zlib.
std::string deflated(std::string_view text);

/// The text again. Throws std::runtime_error where `bytes` are none of zlib's, or not whole.
std::string inflated(std::string_view bytes);

}  // namespace setstress
