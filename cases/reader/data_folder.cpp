#include "cases/reader/data_folder.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "cases/reader/toml_reader.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {
constexpr const char* ready = "cases/ready";

/// Sorted by name.
std::vector<fs::path> toml_files(const fs::path& folder) {
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(folder))
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  std::sort(files.begin(), files.end(),
            [](const fs::path& a, const fs::path& b) { return a.stem() < b.stem(); });
  return files;
}

}  // namespace

fs::path data_folder() {
  const fs::path program = fs::read_symlink("/proc/self/exe").parent_path();
  const fs::path installed = (program.parent_path() / SETSTRESS_DATA_FROM_PREFIX).lexically_normal();
  for (const fs::path& folder : {installed, fs::path(SETSTRESS_SOURCE_DATA)})
    if (fs::is_directory(folder / ready)) return folder;
  throw std::runtime_error(
      fmt::format("the ready-made cases and the material library are neither in {} nor in {}; "
                  "install setstress again",
                  installed.string(), SETSTRESS_SOURCE_DATA));
}

fs::path material_library_file() {
  return data_folder() / "materials" / "library.toml";
}

std::vector<fs::path> ready_made_cases() {
  return toml_files(data_folder() / ready);
}

std::vector<fs::path> ready_made_studies() {
  return toml_files(data_folder() / ready / "studies");
}

std::vector<fs::path> ready_made_measurements() {
  return toml_files(data_folder() / ready / "measurements");
}

namespace {

fs::path bundled(const char* name) {
  const fs::path program = fs::read_symlink("/proc/self/exe").parent_path();
  const fs::path installed = (program.parent_path() / SETSTRESS_DATA_FROM_PREFIX).lexically_normal();
  for (const fs::path& folder : {installed, program / "page"})
    if (fs::is_regular_file(folder / name)) return folder / name;
  return {};
}

}  // namespace

fs::path page_template() {
  return bundled("page-template.html");
}

fs::path desk_page() {
  return bundled("desk.html");
}

fs::path find_ready_made(const std::string& name, const std::vector<fs::path>& files, std::string_view what) {
  std::vector<std::string> names;
  for (const fs::path& file : files) {
    if (file.stem() == name) return file;
    names.push_back(file.stem().string());
  }
  const auto guess = did_you_mean(name, names);
  throw CaseError(fmt::format(
      "{}: {}, and no ready-made {} has this name; {}ready-made are: {}", shortened(name), why_no_file(name),
      what, guess ? fmt::format("did you mean \"{}\"? ", *guess) : "", fmt::join(names, ", ")));
}

fs::path find_case(const std::string& name_or_path) {
  return is_file(name_or_path) ? fs::path(name_or_path)
                               : find_ready_made(name_or_path, ready_made_cases(), "case");
}

}  // namespace setstress
