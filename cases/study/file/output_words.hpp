#pragma once
// What an output is called by people, and in which unit it is: told from its place in summary.json.

#include <string>
#include <string_view>

namespace setstress {

/// Which of two runs is the better by an output.
enum class Better { unsaid, lower, higher };

struct OutputWords {
  std::string label;  ///< "floor: stress over strength, 95th percentile, highest"
  std::string unit;   ///< "MPa"; "-" for shares, ratios and counts
  Better better = Better::unsaid;
};

/// `path` as in a study file, well formed. A product's unit is the product of the units.
OutputWords words_of(std::string_view path);

/// "lower", "higher", or empty.
std::string name_of(Better better);
/// The reverse; anything else is unsaid.
Better better_from(std::string_view name);

}  // namespace setstress
