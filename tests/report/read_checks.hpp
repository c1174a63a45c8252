#pragma once
// The records that tests leave behind (tests/check_record.hpp), read back for the report.

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace setstress::testing {

/// Checks of one chapter, by title.
struct Chapter {
  std::string name;
  std::vector<nlohmann::json> checks;
  [[nodiscard]] int comparisons() const;
  [[nodiscard]] int failed() const;
};

/// All records of a folder: chapters and titles in alphabetical order, numbers in titles by their value left
/// to the eye. Throws std::runtime_error naming a file that is not a record, or the folder where it holds
/// none.
std::vector<Chapter> read_checks(const std::filesystem::path& folder);

}  // namespace setstress::testing
