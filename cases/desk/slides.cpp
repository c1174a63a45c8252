#include "cases/desk/slides.hpp"

#include <algorithm>
#include <fstream>

namespace setstress {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

namespace {

constexpr int deepest = 3;
constexpr std::size_t most_slides = 200;

/// Empty where a folder holds none.
ordered_json comparison_in(const DeskFolder& folder, const fs::path& here) {
  const fs::path relative = here / "comparison.json";
  if (!folder.shown_file(relative.string())) return ordered_json::object();
  std::ifstream stream(folder.path() / relative);
  ordered_json comparison = ordered_json::parse(stream, nullptr, false);
  const bool is_one = comparison.is_object() && comparison.contains("pairs");
  return is_one ? comparison : ordered_json::object();
}

/// What is compared, or else the name of the folder.
std::string title_of(const ordered_json& comparison, const fs::path& folder) {
  if (comparison.empty() || comparison["pairs"].size() != 1) return folder.filename().string();
  const ordered_json& pair = comparison["pairs"][0];
  return pair.value("first", "") + " and " + pair.value("second", "");
}

void add_words(const ordered_json& comparison, const std::string& title, ordered_json& slides) {
  if (comparison.empty()) return;
  ordered_json sentences = ordered_json::array();
  for (const ordered_json& pair : comparison["pairs"])
    for (const ordered_json& sentence : pair.value("sentences", ordered_json::array()))
      sentences.push_back(sentence);
  if (!sentences.empty()) slides.push_back({{"kind", "words"}, {"title", title}, {"sentences", sentences}});
  for (const ordered_json& answer : comparison.value("answers", ordered_json::array()))
    slides.push_back({{"kind", "words"},
                      {"title", title + ": " + answer.value("title", "")},
                      {"sentences", answer.value("sentences", ordered_json::array())}});
}

void add_slides(const DeskFolder& folder, const fs::path& here, int depth, ordered_json& slides) {
  std::vector<fs::path> entries;
  for (const auto& entry : fs::directory_iterator(folder.path() / here))
    entries.push_back(entry.path().filename());
  std::sort(entries.begin(), entries.end());
  const ordered_json comparison = comparison_in(folder, here);
  const std::string title = title_of(comparison, here.empty() ? folder.path() : here);
  add_words(comparison, title, slides);
  for (const char* kind : {".html", ".png", ".svg"})
    for (const fs::path& name : entries) {
      if (name.extension() != kind || !folder.shown_file((here / name).string()) ||
          slides.size() >= most_slides)
        continue;
      slides.push_back({{"kind", name.extension() == ".html" ? "page" : "picture"},
                        {"title", title + ": " + name.stem().string()},
                        {"file", (here / name).string()}});
    }
  if (depth >= deepest) return;
  for (const fs::path& name : entries)
    if (fs::symlink_status(folder.path() / here / name).type() == fs::file_type::directory &&
        name.string().front() != '.' && name.extension() != ".part")
      add_slides(folder, here / name, depth + 1, slides);
}

}  // namespace

ordered_json slides_of(const DeskFolder& folder) {
  ordered_json slides = ordered_json::array();
  add_slides(folder, {}, 0, slides);
  return slides;
}

}  // namespace setstress
