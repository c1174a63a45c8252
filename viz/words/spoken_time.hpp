#pragma once
// Times and durations as people say them.

#include <string>

namespace setstress {

/// "0 s", "45 s", "5 min", "5 min 20 s", "24 h".
std::string spoken_time(double seconds);

/// "35 s", "1 min 20 s", "2.5 h": to the second, for tables and sentences.
std::string duration_text(double seconds);

}  // namespace setstress
