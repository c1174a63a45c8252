#include "tests/report/read_checks.hpp"

#include <fstream>
#include <map>
#include <stdexcept>

namespace setstress::testing {

int Chapter::comparisons() const {
  int count = 0;
  for (const auto& check : checks) count += static_cast<int>(check.at("comparisons").size());
  return count;
}

int Chapter::failed() const {
  int count = 0;
  for (const auto& check : checks)
    for (const auto& comparison : check.at("comparisons"))
      count += comparison.at("holds").get<bool>() ? 0 : 1;
  return count;
}

std::vector<Chapter> read_checks(const std::filesystem::path& folder) {
  std::map<std::string, std::map<std::string, nlohmann::json>> sorted;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() != ".json") continue;
    std::ifstream stream(entry.path());
    nlohmann::json check = nlohmann::json::parse(stream, nullptr, false);
    if (!check.is_object() || !check.contains("chapter") || !check.contains("comparisons"))
      throw std::runtime_error(entry.path().string() + " is not the record of a check");
    const std::string chapter = check.at("chapter"), title = check.at("title");
    sorted[chapter][title] = std::move(check);
  }
  if (sorted.empty()) throw std::runtime_error("no check was recorded in " + folder.string());
  std::vector<Chapter> chapters;
  for (auto& [name, checks] : sorted) {
    Chapter& chapter = chapters.emplace_back(Chapter{name, {}});
    for (auto& [title, check] : checks) chapter.checks.push_back(std::move(check));
  }
  return chapters;
}

}  // namespace setstress::testing
