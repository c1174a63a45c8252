#include "cases/desk/desk_folder.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <fstream>
#include <set>
#include <sstream>

#include "viz/files/write_file.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t longest_name = 100;
constexpr std::uintmax_t largest_case = 1'000'000;  // [bytes]

bool is_plain_name(const std::string& name) {
  const auto allowed = [](unsigned char c) {
    return std::isalnum(c) != 0 || c == ' ' || c == '.' || c == '_' || c == '-';
  };
  return !name.empty() && name.size() <= longest_name && name.front() != '.' && name.front() != ' ' &&
         name.front() != '-' && std::all_of(name.begin(), name.end(), allowed);
}

/// A file itself, no link to one.
bool is_own_file(const fs::path& path) {
  std::error_code failure;
  return fs::symlink_status(path, failure).type() == fs::file_type::regular;
}

bool lies_in(const fs::path& folder, const fs::path& file) {
  std::error_code failure;
  const fs::path found = fs::weakly_canonical(file, failure);
  if (failure) return false;
  const auto [end, ignored] = std::mismatch(folder.begin(), folder.end(), found.begin(), found.end());
  return end == folder.end();
}

std::string text_in(const fs::path& file) {
  if (fs::file_size(file) > largest_case)
    throw CaseError(fmt::format("{} is larger than a case file can be ({} bytes)", file.filename().string(),
                                largest_case));
  std::ifstream stream(file, std::ios::binary);
  std::ostringstream text;
  text << stream.rdbuf();
  if (!stream) throw CaseError(fmt::format("{} cannot be read", file.filename().string()));
  return text.str();
}

void require_inside(const fs::path& folder, const fs::path& beside, const Section& section, const char* key,
                    const std::string& name) {
  const fs::path file = beside / name;
  if (!lies_in(folder, file))
    section.fail(key,
                 fmt::format("names \"{}\", which lies outside the folder of this desk, {}; copy it there",
                             shortened(name), folder.string()));
}

/// Files that a table names beside itself.
void require_all_inside(const fs::path& folder, const fs::path& beside, const toml::table& table) {
  const Section root({std::make_shared<const toml::table>(table)});
  if (const auto base = table["base"].value<std::string>()) {
    const bool is_ready_made_name = base->find('/') == std::string::npos && !is_file(beside / *base);
    if (!is_ready_made_name) require_inside(folder, beside, root, "base", *base);
  }
  const auto include = table["materials"]["include"];
  const Section materials = root.is_table("materials") ? root.section("materials") : root;
  if (const auto one = include.value<std::string>())
    require_inside(folder, beside, materials, "include", *one);
  if (const toml::array* several = include.as_array())
    for (const toml::node& each : *several)
      if (const auto name = each.value<std::string>())
        require_inside(folder, beside, materials, "include", *name);
}

/// Whether a file is one of material classes; what cannot be read is taken for a case, whose faults are told
/// when it is opened.
bool holds_classes(const fs::path& file) {
  try {
    const auto table = parse_toml(text_in(file), file.string());
    return table->contains("composite") || table->contains("adhesive");
  } catch (const CaseError&) {
    return false;
  }
}

}  // namespace

void require_case_name(const std::string& name) {
  if (!is_plain_name(name) || !name.ends_with(".toml") || name.size() < sizeof ".toml")
    throw CaseError(
        fmt::format("\"{}\" cannot be the name of a case file; use letters, digits, blanks, \".\", \"_\" and "
                    "\"-\" (at most "
                    "{} of them, none of these signs first), ending in .toml",
                    shortened(name), longest_name));
}

DeskFolder::DeskFolder(const fs::path& folder) {
  std::error_code failure;
  fs::create_directories(folder, failure);
  folder_ = fs::canonical(folder, failure);
  if (failure || !fs::is_directory(folder_, failure))
    throw CaseError(fmt::format("--folder is \"{}\"; it is no folder, and none could be made there",
                                shortened(folder.string())));
}

DeskFolder::Files DeskFolder::case_files() const {
  Files files;
  for (const auto& entry : fs::directory_iterator(folder_)) {
    const std::string name = entry.path().filename().string();
    if (!is_plain_name(name) || !name.ends_with(".toml") || !is_own_file(entry.path())) continue;
    (holds_classes(entry.path()) ? files.materials : files.cases).push_back(name);
  }
  std::sort(files.cases.begin(), files.cases.end());
  std::sort(files.materials.begin(), files.materials.end());
  return files;
}

std::string DeskFolder::read_case_file(const std::string& name) const {
  require_case_name(name);
  if (!is_own_file(folder_ / name))
    throw CaseError(fmt::format("{} is no file in {}", shortened(name), folder_.string()));
  return text_in(folder_ / name);
}

void DeskFolder::write_case_file(const std::string& name, const std::string& text) const {
  require_case_name(name);
  std::error_code failure;
  const fs::file_status there = fs::symlink_status(folder_ / name, failure);
  if (fs::exists(there) && there.type() != fs::file_type::regular)
    throw CaseError(fmt::format("{} is there and is no file of its own; choose another name", name));
  write_file(folder_ / name, text);
}

std::optional<fs::path> DeskFolder::shown_file(const std::string& relative) const {
  static const std::set<std::string> kinds{".html", ".json", ".csv", ".svg", ".png", ".pdf", ".toml"};
  fs::path file = folder_;
  for (const fs::path& part : fs::path(relative)) {
    if (!is_plain_name(part.string())) return std::nullopt;
    file /= part;
    std::error_code failure;
    if (fs::is_symlink(fs::symlink_status(file, failure))) return std::nullopt;
  }
  if (!is_own_file(file) || !kinds.contains(file.extension().string())) return std::nullopt;
  return file;
}

CaseLayers DeskFolder::layers_of(const std::string& name, const std::string& text) const {
  require_case_name(name);
  auto top = parse_toml(text, (folder_ / name).string());
  std::set<fs::path> seen;
  fs::path beside = folder_;
  for (auto here = top;;) {
    require_all_inside(folder_, beside, *here);
    const auto base = (*here)["base"].value<std::string>();
    if (!base || !is_file(beside / *base)) break;
    const fs::path next = fs::weakly_canonical(beside / *base);
    if (!seen.insert(next).second) break;  // a circle, which case_layers() refuses
    here = parse_toml(next);
    beside = next.parent_path();
  }
  return case_layers(std::move(top));
}

}  // namespace setstress
