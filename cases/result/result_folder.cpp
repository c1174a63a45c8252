#include "cases/result/result_folder.hpp"

#include <fmt/format.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "cases/reader/toml_reader.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

void require_replaceable(const fs::path& path) {
  if (!fs::exists(path) || is_result_folder(path)) return;
  if (fs::is_directory(path) && fs::is_empty(path)) return;
  throw CaseError(
      fmt::format("{} is there already and was not written by setstress; choose another folder with --out, "
                  "or move it away",
                  path.string()));
}

/// Without a trailing slash, so that ".part" lands beside the folder and not inside.
fs::path plain(fs::path path) {
  path = path.lexically_normal();
  return path.has_filename() ? path : path.parent_path();
}

}  // namespace

bool is_result_folder(const fs::path& folder) {
  std::ifstream file(folder / ResultLayout::manifest);
  if (!file) return false;
  const nlohmann::json manifest = nlohmann::json::parse(file, nullptr, false);
  return manifest.is_object() && manifest.value("program", "") == "setstress";
}

ResultFolder::ResultFolder(fs::path path)
    : path_(plain(std::move(path))), working_(path_.string() + ".part") {
  require_replaceable(path_);
  require_replaceable(working_);
  std::error_code failure;
  fs::remove_all(working_, failure);
  if (!failure) fs::create_directories(working_, failure);
  if (failure)
    throw std::runtime_error(
        fmt::format("cannot make the folder {}: {}", working_.string(), failure.message()));
  write_file(working_ / ResultLayout::manifest, "{\"program\": \"setstress\", \"finished\": false}\n");
}

ResultFolder::~ResultFolder() {
  std::error_code
      ignored;  // nothing to be done about it here, and the reason for leaving is on its way already
  if (!published_) fs::remove_all(working_, ignored);
}

void ResultFolder::publish() {
  require_replaceable(path_);
  const fs::path older = path_.string() + ".old";
  std::error_code failure;
  const bool replace = fs::exists(path_);
  if (replace) fs::rename(path_, older, failure);
  if (!failure) fs::rename(working_, path_, failure);
  if (failure) {
    std::error_code ignored;
    if (replace && !fs::exists(path_)) fs::rename(older, path_, ignored);
    throw std::runtime_error(
        fmt::format("cannot put the results at {}: {}", path_.string(), failure.message()));
  }
  published_ = true;
  if (replace) fs::remove_all(older);
}

}  // namespace setstress
