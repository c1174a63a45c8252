#pragma once
// Times and durations as people say them.

#include <string>

namespace setstress {

/// "0 s", "35 s", "1 min 20 s", "2 h 30 min": a time or duration [s], at least 0, to the second.
std::string duration_text(double seconds);

}  // namespace setstress
