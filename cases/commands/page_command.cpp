#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include <set>

#include "cases/commands/commands.hpp"
#include "cases/compare/comparison.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/result/manifest.hpp"
#include "cases/result/summary.hpp"
#include "viz/page/page.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

fs::path bundled_page() {
  const fs::path bundled = page_template();
  if (bundled.empty())
    throw CaseError(
        "this setstress was built without its page: install Node.js and npm (Debian: nodejs, npm), then "
        "build "
        "setstress again");
  return bundled;
}

void require_results(const std::vector<fs::path>& folders) {
  std::error_code ignored;
  for (const fs::path& folder : folders)
    if (!fs::is_directory(folder, ignored))
      throw CaseError(fmt::format("{}: there is no such folder; give folders written by setstress run",
                                  shortened(folder.string())));
  for (const fs::path& folder : folders)
    if (fs::exists(folder / "comparison.json", ignored))
      throw CaseError(
          fmt::format("{} holds a comparison, and its page.html if one was made; for another page give "
                      "folders written by "
                      "setstress run",
                      folder.string()));
}

/// What the results do differently, where there are several of one mode that all went to their end; empty
/// otherwise.
std::string comparison_of(const std::vector<fs::path>& folders) {
  std::vector<ResultRecord> records;
  bool whole = true;
  std::set<std::string> modes;
  for (std::size_t i = 0; i < folders.size(); ++i) {
    records.push_back({.summary = read_summary(folders[i]), .manifest = read_manifest(folders[i])});
    nlohmann::ordered_json& summary = records.back().summary;
    summary["case"] = std::string(1, static_cast<char>('A' + i));  // as the page calls them
    modes.insert(summary.at("mode").get<std::string>());
    whole = whole && summary.contains("mirror_walls") && summary.at("reached_the_end").get<bool>();
  }
  return whole && folders.size() > 1 && modes.size() == 1 ? compare_results(records).dump() : std::string();
}

}  // namespace

int page_command(const CommandLine& line) {
  PageOptions options{.results = {line.inputs.begin(), line.inputs.end()},
                      .out = line.out.empty() ? fs::path("page.html") : line.out,
                      .page_template = bundled_page(),
                      .comparison = {}};
  if (options.out.extension() != ".html")
    throw CaseError(fmt::format("--out is \"{}\"; a page must end in .html", options.out.string()));
  require_results(options.results);
  try {
    require_whole_results(options.results);
    options.comparison = comparison_of(options.results);
    write_page(options);
  } catch (const nlohmann::json::exception&) {
    throw;                                 // told where all of them are
  } catch (const std::exception& error) {  // whatever is wrong lies in the folders, or in where the page goes
    throw CaseError(error.what());
  }
  if (!line.quiet)
    fmt::print("{} ({:.1f} MB): open it in any browser\n{}\n", options.out.string(),
               1e-6 * static_cast<double>(fs::file_size(options.out)), caution_line);
  return 0;
}

}  // namespace setstress
