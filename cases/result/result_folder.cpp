#include "cases/result/result_folder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cases/reader/toml_reader.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

void require_replaceable(const fs::path& path) {
  std::error_code failure;
  const fs::file_status status = fs::status(path, failure);
  if (status.type() == fs::file_type::none)
    throw CaseError(fmt::format("{} cannot be a folder: {}", shortened(path.string()), failure.message()));
  if (!fs::exists(status)) return;
  if (fs::is_directory(status) && fs::is_empty(path, failure)) return;
  if (is_result_folder(path)) return;
  throw CaseError(
      fmt::format("{} is there already and was not written by setstress; choose another folder with --out, "
                  "or move it away",
                  path.string()));
}

/// A whole folder is put in the place of `path`: it must not be where the user is, nor a link to nowhere.
fs::path resolved(const fs::path& path) {
  std::error_code failure;
  const fs::path here = fs::current_path(failure), there = fs::weakly_canonical(path, failure);
  if (failure)
    throw CaseError(fmt::format("{} cannot be a folder: {}", shortened(path.string()), failure.message()));
  if (std::mismatch(there.begin(), there.end(), here.begin(), here.end()).first == there.end())
    throw CaseError(fmt::format(
        "--out is {}, the folder you are in or one around it; results take the place of a folder as a whole: "
        "give the name of a new one",
        path.string()));
  if (fs::is_symlink(fs::symlink_status(path, failure)) && !fs::exists(path, failure))
    throw CaseError(fmt::format("--out is {}, a link that leads nowhere; give another name", path.string()));
  return fs::is_symlink(fs::symlink_status(path, failure)) ? there : path;
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
  return manifest.is_object() && manifest.value("program", nlohmann::json()) == "setstress";
}

ResultFolder::ResultFolder(fs::path path)
    : path_(resolved(plain(std::move(path)))), working_(path_.string() + ".part") {
  require_replaceable(path_);
  require_replaceable(working_);
  std::error_code failure;
  fs::remove_all(working_, failure);
  if (!failure) fs::create_directories(working_, failure);
  if (failure)
    throw std::runtime_error(
        fmt::format("cannot make the folder {}: {}", working_.string(), failure.message()));
  try {
    write_file(working_ / ResultLayout::manifest, "{\"program\": \"setstress\", \"finished\": false}\n");
    claimed_ = fs::create_directory(path_, failure);  // the name is taken now, not when all is solved
    if (failure) throw CaseError(fmt::format("{} cannot be made: {}", path_.string(), failure.message()));
  } catch (...) {
    std::error_code ignored;
    fs::remove_all(working_, ignored);
    throw;
  }
}

ResultFolder::~ResultFolder() {
  std::error_code
      ignored;  // nothing to be done about it here, and the reason for leaving is on its way already
  if (published_) return;
  fs::remove_all(working_, ignored);
  if (claimed_ && fs::is_empty(path_, ignored)) fs::remove(path_, ignored);
}

void ResultFolder::publish() {
  published_ = true;  // from here on nothing solved is taken away, whatever happens
  std::error_code failure;
  const fs::path older = path_.string() + ".old";
  const auto give_up = [&](const std::string& why) {
    throw std::runtime_error(fmt::format("the results are whole, and lie in {}; they cannot be put at {}: {}",
                                         working_.string(), path_.string(), why));
  };
  try {
    require_replaceable(path_);
  } catch (const CaseError&) {
    give_up("meanwhile something else was put there");
  }
  const bool replace = is_result_folder(path_);
  if (replace) fs::rename(path_, older, failure);
  if (!failure) fs::rename(working_, path_, failure);
  if (failure) {
    std::error_code ignored;
    if (replace && !fs::exists(path_, ignored)) fs::rename(older, path_, ignored);
    give_up(failure.message());
  }
  if (replace) fs::remove_all(older, failure);
}

}  // namespace setstress
