#pragma once
// One HTML file that shows one to four results: opened by double click, without server or network.

#include <filesystem>
#include <string>
#include <vector>

namespace setstress {

struct PageOptions {
  std::vector<std::filesystem::path> results;  ///< one to four result folders
  std::filesystem::path out;                   ///< the page to write (.html)
  std::filesystem::path page_template;         ///< as bundled from viz/page/
  std::string comparison;                      ///< JSON as in comparison.json, for its words; may be empty
};

/// Throws std::runtime_error naming the first folder that a run has not completed, and the file it lacks.
void require_whole_results(const std::vector<std::filesystem::path>& folders);

/// Reads the results from their folders, leaves out what would make the page too heavy (and says so on the
/// page) and writes it. Throws std::invalid_argument for a wrong number of results or results of different
/// versions; std::runtime_error, naming the file, for folders that are half-written or lack frames, a
/// template that is not one, and a page that cannot be written.
void write_page(const PageOptions& options);

}  // namespace setstress
