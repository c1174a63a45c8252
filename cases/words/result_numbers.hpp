#pragma once
// What each number of a result means: one line a column of its tables or key of its summary.

#include <span>

namespace setstress {

struct ResultNumber {
  const char* where;    ///< file or table it stands in
  const char* name;     ///< column or key, unit at its end
  const char* meaning;  ///< in a sentence's part
};

/// In the order of the files. A wall's keys in summary.json are the columns of walls.csv.
std::span<const ResultNumber> result_numbers();

}  // namespace setstress
