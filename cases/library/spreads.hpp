#pragma once
// How uncertain inputs are, by quantity, each with where that comes from: [spread] of the material library,
// with a user's file or a case above it.

#include <string>
#include <string_view>
#include <vector>

#include "cases/library/material_values.hpp"

namespace setstress {

/// What a quantity is drawn from.
struct Spread {
  std::string of;                 ///< "shrinkage", as in [spread.shrinkage]
  double cov = 0;                 ///< of a lognormal factor of median 1 [-]; 0: none
  double low = 0;                 ///< of values that are all alike likely, in the unit of the quantity
  double high = 0;                ///< `low`: none
  bool logarithmic = false;       ///< alike likely are their logarithms
  std::vector<std::string> laws;  ///< alternatives
  std::vector<double> weights;    ///< of these, at least 0; equal to nothing for all: none
  std::string basis, source, place;
  bool operator==(const Spread& other) const;  ///< of what is drawn, wherever it was written
  [[nodiscard]] bool is_drawn() const;
};

/// How a quantity can be uncertain.
struct SpreadField {
  enum class Kind { factor, range, log_range, laws } kind;
  std::string_view of, words;
  Quantity allowed;  ///< of `low` and `high`
};
const std::vector<SpreadField>& spread_fields();

/// Puts what `section` ([spread]) says in place of what `spreads` has, in the order of spread_fields().
/// Throws CaseError.
void read_spreads(const Section& section, const Citations& citations, std::vector<Spread>& spreads);

}  // namespace setstress
