#pragma once
// How many runs one core advances together.

#include <cstddef>
#include <string>

namespace setstress {

inline constexpr int usual_lanes = 32;

/// As a command line says it: "8", "16", "32", "off" (0), or nothing (as usual).
int lanes_from(const std::string& word);

/// Lanes for so many runs: those that are not filled calculate with zeros.
int narrowest_lanes(std::size_t runs);

}  // namespace setstress
