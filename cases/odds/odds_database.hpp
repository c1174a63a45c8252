#pragma once
// Draws on the disk, row by row, so that none is lost however a run of odds ends.

#include <filesystem>
#include <string>
#include <vector>

#include "cases/odds/odds.hpp"
#include "cases/study/table/sqlite.hpp"

namespace setstress {

/// Headings of what is drawn, by input: "shrinkage of flowable", "film thickness [mm]".
std::vector<std::string> input_headings(const Odds& odds);
/// Headings of what comes of a draw, in the order of OddsRow::numbers.
std::vector<std::string> number_headings(const Odds& odds);

/// A database of SQLite: table `about` (key, value), table `draws` with a row a draw made: draw, status,
/// message, seconds, then inputs and numbers under their headings.
class OddsDatabase {
 public:
  /// Opens `file`, or makes it. Rows of other odds (Odds::sum) that are there are thrown away. Throws
  /// CaseError where something else than odds stands there, DatabaseError where it cannot be used.
  OddsDatabase(const std::filesystem::path& file, const Odds& odds);

  /// Takes over what another database of the same odds has and this has not; nothing where there is no such
  /// file.
  void take_over(const std::filesystem::path& other);

  /// Those that need not be made again: with numbers, or of cases that cannot be.
  [[nodiscard]] std::vector<OddsRow> rows() const;
  /// The row is on the disk when this returns.
  void record(const OddsRow& row);

 private:
  void make_tables(const Odds& odds);

  Database database_;
  std::string sum_;
  std::vector<std::vector<double>> values_;     ///< drawn, by draw, then input
  std::vector<std::vector<std::string>> laws_;  ///< by input; empty: a number
  std::size_t numbers_;
};

}  // namespace setstress
