#include "cases/result/result_check.hpp"

#include <fmt/format.h>

#include <toml++/toml.h>
#include <charconv>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include "cases/reader/toml_reader.hpp"
#include "cases/result/summary.hpp"
#include "viz/page/page.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

void require_frames(const Result& result) {
  for (const ResultFrame& frame : result.frames)
    for (const fs::path& file : {frame.volume, frame.bond})
      if (!file.empty() && !fs::is_regular_file(file))
        throw CaseError(fmt::format("{} lists {}, which is not there; run the case again",
                                    (result.folder / ResultLayout::collection).string(), file.string()));
}

std::string version_of(const fs::path& folder) {
  std::ifstream file(folder / ResultLayout::manifest);
  const nlohmann::json manifest = nlohmann::json::parse(file, nullptr, false);
  if (!manifest.is_object() || manifest.value("program", nlohmann::json()) != "setstress" ||
      !manifest.value("version", nlohmann::json("unknown")).is_string())
    throw CaseError(fmt::format("{} was not written by setstress, or is damaged",
                                (folder / ResultLayout::manifest).string()));
  return manifest.value("version", "unknown");
}

void require_result_folder(const fs::path& folder) {
  std::error_code ignored;
  if (!fs::is_directory(folder, ignored))
    throw CaseError(fmt::format("{}: there is no such folder; give folders written by setstress run",
                                shortened(folder.string())));
  if (fs::exists(folder / "comparison.json", ignored))
    throw CaseError(fmt::format(
        "{} holds a comparison; give the folders of its cases, or others written by setstress run",
        folder.string()));
}

}  // namespace

std::vector<Result> drawable_results(const std::vector<std::string>& folders) {
  for (const fs::path folder : folders) {
    require_result_folder(folder);
    try {
      require_whole_results({folder});
    } catch (const std::exception& error) {
      throw CaseError(error.what());
    }
    if (version_of(folder) != version_of(folders.front()))
      throw CaseError(fmt::format(
          "{} was made by setstress {} and {} by setstress {}; run the cases again with one version",
          folders.front(), version_of(folders.front()), folder.string(), version_of(folder)));
  }
  std::vector<Result> results;
  for (const fs::path folder : folders) {
    try {
      results.push_back(read_result(folder));
    } catch (const std::exception& error) {
      throw CaseError(error.what());
    }
    require_frames(results.back());
  }
  return results;
}

std::vector<std::string> names_of(const std::vector<Result>& results) {
  std::vector<std::string> names;
  std::set<std::string> different;
  for (const Result& result : results) {
    names.push_back(read_summary(result.folder).at("title").get<std::string>());
    different.insert(names.back());
  }
  if (different.size() < names.size())
    for (std::size_t i = 0; i < names.size(); ++i) names[i] = results[i].folder.lexically_normal().string();
  return names;
}

double time_of_option(const std::string& option, const std::string& text, double low, double high) {
  auto table = std::make_shared<toml::table>();
  double number = 0;
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (failure == std::errc() && end == text.data() + text.size())
    table->insert("time", number);
  else
    table->insert("time", text);
  try {
    return Section({table}).time("time", {"s", low, high});
  } catch (const CaseError& error) {
    const std::string message = error.what();
    throw CaseError(fmt::format("{} {}", option, message.substr(message.find("is "))));
  }
}

}  // namespace setstress
