#include <fmt/format.h>

#include "cases/commands.hpp"
#include "cases/data_folder.hpp"
#include "viz/page.hpp"
#include "viz/vtk_files.hpp"

namespace setstress {

int page_command(const CommandLine& line) {
  const std::filesystem::path out = line.out.empty() ? std::filesystem::path("page.html") : line.out;
  if (out.extension() != ".html")
    throw CaseError(fmt::format("--out is \"{}\"; a page must end in .html", out.string()));
  const std::filesystem::path bundled = page_template();
  if (bundled.empty())
    throw CaseError(
        "this setstress was built without its page: install Node.js and npm (Debian: nodejs, npm), then "
        "build "
        "setstress again");
  PageOptions options{.results = {}, .out = out, .page_template = bundled, .comparison = {}};
  options.results.assign(line.inputs.begin(), line.inputs.end());
  for (const std::filesystem::path& folder : options.results)
    if (std::filesystem::exists(folder / "comparison.json"))
      throw CaseError(
          fmt::format("{} holds a comparison, and its page.html if one was made; for another page give "
                      "folders written by setstress run",
                      folder.string()));
  try {
    write_page(options);
  } catch (const std::exception& error) {  // whatever is wrong lies in the folders, or in where the page goes
    throw CaseError(error.what());
  }
  if (!line.quiet)
    fmt::print("{} ({:.1f} MB): open it in any browser\n{}\n", out.string(),
               1e-6 * static_cast<double>(std::filesystem::file_size(out)), caution_line);
  return 0;
}

}  // namespace setstress
