// setstress lesson: a teaching set, computed chapter by chapter.

#include <fmt/format.h>

#include <algorithm>
#include <fstream>

#include "cases/commands/commands.hpp"
#include "cases/lesson/box_drawing.hpp"
#include "cases/lesson/lesson_page.hpp"
#include "cases/lesson/lesson_runs.hpp"
#include "cases/result/result_folder.hpp"
#include "cases/result/summary.hpp"
#include "cases/words/bond_words.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

struct Planned {
  const char* title;
  LessonChapter (*make)(LessonRuns&);
};
constexpr std::array<Planned, 8> planned{{{"What pulls on what?", what_pulls_on_what},
                                          {"When?", when},
                                          {"What does the wait buy?", what_the_wait_buys},
                                          {"What do the layers buy?", what_the_layers_buy},
                                          {"Is it cured?", is_it_cured},
                                          {"Where does it let go?", where_it_lets_go},
                                          {"And after it lets go?", what_follows},
                                          {"What would change this answer?", what_would_change_this_answer}}};

/// A lesson is written into a new or empty folder, or over an older lesson.
void require_own_folder(const fs::path& folder) {
  std::error_code failure;
  const fs::file_status status = fs::status(folder, failure);
  if (status.type() == fs::file_type::none)
    throw CaseError(fmt::format("{} cannot be a folder: {}", shortened(folder.string()), failure.message()));
  if (!fs::exists(status)) return;
  if (!fs::is_directory(status))
    throw CaseError(fmt::format("{} is a file; give a folder with --out", folder.string()));
  if (fs::is_empty(folder, failure)) return;
  std::ifstream file(folder / ResultLayout::manifest);
  const nlohmann::json manifest = nlohmann::json::parse(file, nullptr, false);
  if (!manifest.is_object() || !manifest.value("lesson", false))
    throw CaseError(fmt::format(
        "{} is there already and is no lesson written by setstress; choose another folder with --out",
        folder.string()));
}

void write_manifest(const fs::path& folder, std::size_t chapters) {
  const nlohmann::ordered_json manifest{{"program", "setstress"}, {"version", SETSTRESS_VERSION},
                                        {"lesson", true},         {"finished", chapters == planned.size()},
                                        {"chapters", chapters},   {"caution", caution_line}};
  write_file(folder / ResultLayout::manifest, manifest.dump(2) + "\n");
}

/// That the mesh of the box is too coarse for what is told of its walls; "" where it is not, or no chapter
/// tells any.
std::string coarse_mesh_of(const fs::path& folder, const std::vector<LessonChapter>& chapters) {
  for (const LessonChapter& chapter : chapters)
    if (std::ranges::find(chapter.runs, "deep-box") != chapter.runs.end())
      return coarse_mesh_sentence(read_summary(folder / "runs" / "deep-box"));
  return "";
}

void write_lesson(const fs::path& folder, const std::vector<LessonChapter>& chapters, LessonFront front) {
  if (!chapters.empty())
    for (std::size_t c = 0; c < chapters.back().charts.size(); ++c)
      write_file(
          folder / fmt::format("{}-chart{}.svg", chapters.back().name, c == 0 ? "" : std::to_string(c + 1)),
          chart_file(chapters.back().charts[c]));
  std::vector<std::string> to_come;
  for (std::size_t p = chapters.size(); p < planned.size(); ++p) to_come.emplace_back(planned[p].title);
  front.coarse_mesh = coarse_mesh_of(folder, chapters);
  write_file(folder / "index.html", lesson_page(chapters, to_come, front));
  write_manifest(folder, chapters.size());
}

}  // namespace

int lesson_command(const CommandLine& line) {
  const fs::path folder = line.out.empty() ? fs::path("lesson") : line.out;
  require_own_folder(folder);
  LessonRuns runs(folder, line.settings, line.lesson_draws, line.quiet);
  const Case box = runs.input("deep-box");  // refuses a wrong --fineness before anything is written
  const LessonFront front{.fineness = line.settings.fineness.value_or("standard"),
                          .coarse_mesh = "",
                          .drawing = box_drawing(std::get<ToothCase>(box.geometry))};
  std::vector<LessonChapter> chapters;
  write_manifest(folder, 0);
  try {
    for (const Planned& chapter : planned) {
      if (!line.quiet)
        fmt::print(stderr, "Chapter {} of {}: {}\n", chapters.size() + 1, planned.size(), chapter.title);
      chapters.push_back(chapter.make(runs));
      write_lesson(folder, chapters, front);
    }
  } catch (const LessonStopped&) {
    const std::string done = chapters.empty() ? "no chapter is finished yet"
                                              : fmt::format("{} of {} chapters are in {}", chapters.size(),
                                                            planned.size(), (folder / "index.html").string());
    fmt::print(stderr, "setstress: stopped as asked; {}; the same command goes on from there\n", done);
    return 1;
  }
  if (!line.quiet)
    fmt::print("{}: open it in any browser ({} runs made, {} found)\n{}\n", (folder / "index.html").string(),
               runs.solved(), runs.reused(), caution_line);
  return 0;
}

}  // namespace setstress
