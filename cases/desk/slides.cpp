#include "cases/desk/slides.hpp"

#include <algorithm>
#include <fstream>

namespace setstress {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

namespace {

constexpr int deepest = 3;
constexpr std::size_t most_slides = 200;

void add_words(const fs::path& file, const std::string& title, ordered_json& slides) {
  std::ifstream stream(file);
  const ordered_json comparison = ordered_json::parse(stream, nullptr, false);
  if (!comparison.is_object() || !comparison.contains("pairs")) return;
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
  const std::string title = (here.empty() ? folder.path() : here).filename().string();
  if (folder.shown_file((here / "comparison.json").string()))
    add_words(folder.path() / here / "comparison.json", title, slides);
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
