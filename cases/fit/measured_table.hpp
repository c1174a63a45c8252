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

/// Columns as they were wanted, and where their values stand in the file.
class MeasuredTable {
 public:
  /// Refuses headings without unit, columns that nobody wants, rows too short and what is no number:
  /// CaseError with file, row and column. Lines that begin with # are skipped.
  MeasuredTable(const std::filesystem::path& file, const std::vector<ColumnWanted>& wanted);

  [[nodiscard]] std::size_t size() const { return rows_.size(); }
  [[nodiscard]] bool has(std::size_t column) const { return !columns_[column].values.empty(); }
  [[nodiscard]] double at(std::size_t value, std::size_t column) const {  ///< in our units
    return columns_[column].values[value];
  }
  [[nodiscard]] int row(std::size_t value) const { return rows_[value]; }  ///< of the file, from 1
  /// CaseError "a.csv:4, column "time [min]": is 3; ..." with the number as the file has it.
  [[noreturn]] void fail(std::size_t value, std::size_t column, std::string_view sentence) const;

 private:
  struct Column {
    std::string heading;
    double factor = 1;
    std::vector<double> values;
  };
  std::filesystem::path file_;
  std::vector<Column> columns_;
  std::vector<int> rows_;
};

}  // namespace setstress
