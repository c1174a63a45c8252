#pragma once
// walls.csv of a result, read back: what each wall bore, step by step.

#include <cstddef>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace setstress {

class WallTable {
 public:
  /// Throws std::runtime_error naming the file (and line) when it is missing, empty, or a row lacks cells.
  explicit WallTable(const std::filesystem::path& result_folder);

  [[nodiscard]] bool has(const std::string& column) const { return column_.contains(column); }
  /// Throws std::runtime_error naming file and column when there is no such column.
  void require(const std::string& column) const;
  [[nodiscard]] std::size_t rows() const { return cells_.size(); }
  /// Throws as `require`.
  [[nodiscard]] const std::string& text(std::size_t row, const std::string& column) const;
  /// Empty where the cell is: nothing of the wall was filled then.
  [[nodiscard]] std::optional<double> number(std::size_t row, const std::string& column) const;

 private:
  std::filesystem::path file_;
  std::map<std::string, std::size_t> column_;
  std::vector<std::vector<std::string>> cells_;
};

}  // namespace setstress
