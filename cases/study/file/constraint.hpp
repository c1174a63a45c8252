#pragma once
// Rules that drop impossible combinations: comparisons of factors with numbers, words or each other.

#include <string>
#include <vector>

#include "cases/study/file/value.hpp"

namespace setstress {

/// "wall < 1.5 and plan == 'bulk'": all comparisons must hold for the rule to hold.
struct Constraint {
  enum class Sign { less, at_most, equal, not_equal, at_least, greater };
  /// A factor, by its position, or else a fixed value; numbers are multiplied by `times`.
  struct Side {
    int factor = -1;
    Value value;
    double times = 1;
  };
  struct Comparison {
    Side left;
    Sign sign;
    Side right;
  };
  std::string text;  ///< as written
  std::vector<Comparison> all;
};

/// Throws std::invalid_argument with a sentence where it cannot be understood; `factors` are the names known.
Constraint parse_constraint(const std::string& text, const std::vector<std::string>& factors);

/// Whether it holds for the values of all factors. Throws std::invalid_argument where a word is to be smaller
/// or larger than something.
bool holds(const Constraint& constraint, const std::vector<Value>& values);

}  // namespace setstress
