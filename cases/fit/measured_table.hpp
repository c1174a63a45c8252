#pragma once
// A table of measured values: one heading a column, name and unit, "time [s]".

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace setstress {

/// A unit that a column may have, and what one of it is in ours.
struct ColumnUnit {
  std::string_view unit;
  double factor;
};

struct ColumnWanted {
  std::string name;
  std::vector<ColumnUnit> units;
  bool optional = false;
};

/// Values of the columns wanted, in our units, by column; empty where an optional one is absent. Refuses
/// headings without unit, columns that nobody wants, rows too short and what is no number: CaseError with
/// file, row and column. Lines that begin with # are skipped.
std::vector<std::vector<double>> read_measured_table(const std::filesystem::path& file,
                                                     const std::vector<ColumnWanted>& wanted);

}  // namespace setstress
