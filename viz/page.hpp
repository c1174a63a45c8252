#pragma once
// One HTML file that shows one to four results: opened by double click, without server or network.

#include <filesystem>
#include <optional>
#include <vector>

namespace setstress {

struct PageOptions {
  std::vector<std::filesystem::path> results;       ///< one to four result folders
  std::filesystem::path out;                        ///< the page to write (.html)
  std::filesystem::path page_template;              ///< as bundled from viz/page/
  std::optional<std::filesystem::path> comparison;  ///< comparison.json of these results, for its words
};

/// Reads the results from their folders, leaves out what would make the page too heavy (and says so on the
/// page) and writes it. Throws std::invalid_argument for a wrong number of results or results of different
/// versions; std::runtime_error, naming the file, for folders that are half-written or lack frames, a
/// template that is not one, and a page that cannot be written.
void write_page(const PageOptions& options);

}  // namespace setstress
