#include "cases/lesson/lesson_page.hpp"

#include <fmt/format.h>

#include <array>

#include "viz/words/caution.hpp"

namespace setstress {

namespace {

constexpr const char* page_style = R"css(
:root { color-scheme: light dark; --paper: #fff; --ink: #1a1a1f; --faint: #5c5c62; --line: #d5d5da; }
@media (prefers-color-scheme: dark) { :root { --paper: #17191e; --ink: #eee; --faint: #adadb3; --line: #3a3d45; } }
body { margin: 0 auto; max-width: 62rem; padding: 1rem; background: var(--paper); color: var(--ink);
  font: 1rem/1.5 Helvetica, Arial, sans-serif; }
h1 { margin: 0.5rem 0; font-size: 1.7rem; }
h2 { margin: 2.5rem 0 0.5rem; font-size: 1.3rem; border-top: 1px solid var(--line); padding-top: 1.2rem; }
p { margin: 0.5rem 0; max-width: 46rem; }
nav ol { padding-left: 1.3rem; }
a { color: inherit; }
figure { margin: 1rem 0; }
figure img { width: 100%; height: auto; background: #fff; border-radius: 4px; }
figure svg { width: 100%; max-width: 40rem; height: auto; }
.box text { font-size: 10px; fill: #1a1a1f; }
.box .dentin { fill: #efe3c6; } .box .enamel { fill: #fafaf5; stroke: #8a8a84; stroke-width: 0.6; }
.box .filling { fill: #c2c7cf; } .box .wall { stroke: #1a1a1f; stroke-width: 3; stroke-linecap: round; }
.box .rule { stroke: #8a8a84; stroke-dasharray: 4 3; }
figure svg.box { background: #fff; border-radius: 4px; max-width: 46rem; }
.take-home { border-left: 3px solid var(--ink); padding-left: 0.7rem; }
dt { font-weight: 600; }
figcaption, .small, footer { color: var(--faint); font-size: 0.875rem; }
)css";

std::string figures_of(const LessonChapter& chapter) {
  std::string html;
  for (std::size_t c = 0; c < chapter.charts.size(); ++c)
    html += fmt::format("<figure>\n{}\n</figure>\n", chart_svg(chapter.charts[c]));
  for (const LessonPicture& picture : chapter.pictures)
    html += fmt::format(
        "<figure><a href=\"{0}\"><img src=\"{0}\" alt=\"{1}\"></a><figcaption>{1}.</figcaption>"
        "</figure>\n",
        markup_safe(picture.file), markup_safe(picture.says));
  return html;
}

std::string html_of(const LessonChapter& chapter) {
  std::string html =
      fmt::format("<section id=\"{}\">\n<h2>{}</h2>\n", chapter.name, markup_safe(chapter.title));
  for (const std::string& sentence : chapter.sentences)
    html += fmt::format("<p>{}</p>\n", markup_safe(sentence));
  html += figures_of(chapter);
  html += fmt::format(
      "<p class=\"take-home\"><b>Take home:</b> {}</p>\n<p class=\"small\"><b>Do not conclude:</b> "
      "{}</p>\n",
      markup_safe(chapter.take_home), markup_safe(chapter.not_said));
  if (!chapter.runs.empty()) {
    html += "<p class=\"small\">From the runs";
    for (const std::string& run : chapter.runs) html += fmt::format(" <code>runs/{}</code>", run);
    html += ".</p>\n";
  }
  return html + "</section>\n";
}

// Words of the trade, as they are used on the page.
constexpr std::array<std::array<const char*, 2>, 7> glossary{
    {{"bond", "the adhesive layer between filling and tooth; it gains strength for minutes and longer"},
     {"stress-to-strength ratio",
      "stress on the bond, pull and shear, over its strength at that moment; at 1 the "
      "strength is reached"},
     {"hardest-loaded twentieth", "95 % of the area stays below this value (95th percentile by area)"},
     {"C-factor", "bonded over free area of an increment when it is placed"},
     {"relative conversion", "how far the paste has set, as a share of what it can reach"},
     {"increment", "one portion of composite, placed and lit"},
     {"let go (debonded)", "all strength of the bond is lost there; a gap may open"}}};

std::string glossary_html() {
  std::string html = "<section id=\"words\">\n<h2>Words</h2>\n<dl>\n";
  for (const auto& [word, meaning] : glossary)
    html += fmt::format("<dt>{}</dt><dd>{}</dd>\n", markup_safe(word), markup_safe(meaning));
  return html + "</dl>\n</section>\n";
}

}  // namespace

std::string lesson_page(const std::vector<LessonChapter>& chapters, const std::vector<std::string>& to_come,
                        const LessonFront& front) {
  std::string html = fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<title>Setting stress: a short lesson</title>\n<style>{}{}</style>\n</head>\n<body>\n<main>\n"
      "<h1>Setting stress: a short lesson</h1>\n"
      "<p>Light-cured composite shrinks while it sets, and pulls on a bond that is itself still gaining "
      "strength. Tooth, cases and plans are invented; every number below was computed for this page "
      "(mesh: {}) and none was written by hand. Compare plans; do not read single values as "
      "predictions.</p>\n",
      page_style, chart_style(), markup_safe(front.fineness));
  if (!front.coarse_mesh.empty())
    html += fmt::format(
        "<p class=\"take-home\"><b>A sketch, not to be judged by:</b> {}. Percentiles and areas at strength "
        "follow "
        "this mesh; setstress lesson without --fineness computes them on a finer one.</p>\n",
        markup_safe(front.coarse_mesh));
  html += front.drawing;
  html += fmt::format("<p class=\"small\">{}</p>\n<nav><ol>\n", caution_line);
  for (const LessonChapter& chapter : chapters)
    html += fmt::format("<li><a href=\"#{}\">{}</a></li>\n", chapter.name, markup_safe(chapter.title));
  for (const std::string& title : to_come)
    html += fmt::format("<li class=\"small\">{} (not computed yet)</li>\n", markup_safe(title));
  html += "<li><a href=\"#words\">Words</a></li>\n</ol></nav>\n";
  for (const LessonChapter& chapter : chapters) html += html_of(chapter);
  html += glossary_html() + "</main>\n";
  return html + fmt::format("<footer><p>setstress {}. {}</p></footer>\n</body>\n</html>\n", SETSTRESS_VERSION,
                            caution_line);
}

}  // namespace setstress
