#pragma once
// Which inputs decide on a wall.

#include <string>
#include <vector>

#include "cases/odds/odds.hpp"

namespace setstress {

/// Inputs as numbers, by input, then row; a choice of laws as one column a law, 1 where it is that one.
struct InputColumns {
  std::vector<std::string> words;
  std::vector<std::string> units;  ///< "=" for a law
  std::vector<std::vector<double>> values;
};
InputColumns columns_of(const Odds& odds);

/// An input and how its order goes with the difference.
struct Deciding {
  std::size_t column;
  RankCorrelation rank;
};
/// Those whose interval leaves out 0, the strongest first.
std::vector<Deciding> deciding(const InputColumns& columns, const std::vector<double>& differences);

/// "exponent of the modulus is below 1.42", "law of maturity is not chairside-rule".
std::string cut_words(const InputColumns& columns, const Cut& cut);

}  // namespace setstress
