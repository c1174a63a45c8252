#include "cases/study/report/report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "cases/check/case_check.hpp"
#include "cases/result/result_folder.hpp"
#include "cases/study/report/report_data.hpp"
#include "cases/study/report/report_figures.hpp"
#include "cases/study/report/report_notes.hpp"
#include "cases/study/report/study_text.hpp"
#include "cases/study/runs/savings.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace {

constexpr std::size_t extremes = 5;  // runs shown at either end

constexpr const char* page_style = R"(
:root{color-scheme:light dark;--paper:#fff;--text:#1d1d1f;--soft:#55585e;--line:#d5d7db;--card:#f6f7f8}
@media(prefers-color-scheme:dark){:root{--paper:#17181b;--text:#ececf0;--soft:#b0b3ba;--line:#3a3d43;--card:#1f2125}}
*{box-sizing:border-box}body{margin:0 auto;max-width:1280px;padding:12px 16px 40px;background:var(--paper);color:var(--text);font:15px/1.45 system-ui,sans-serif}
h1{font-size:1.5rem;margin:.4em 0 .2em}h2{font-size:1.15rem;margin:1.6em 0 .3em;border-top:1px solid var(--line);padding-top:.8em;overflow-wrap:anywhere}
p{margin:.4em 0;max-width:75ch;overflow-wrap:anywhere}.soft,footer{color:var(--soft);font-size:.88rem}code{overflow-wrap:anywhere;font-size:.92em}
.figures{display:grid;gap:14px;grid-template-columns:repeat(auto-fill,minmax(min(100%,340px),1fr))}
figure{margin:0;padding:8px;background:var(--card);border:1px solid var(--line);border-radius:6px}
.wide{overflow-x:auto}table{border-collapse:collapse;font-size:.86rem;margin:.5em 0}th,td{padding:3px 9px;border-bottom:1px solid var(--line);text-align:right;vertical-align:top}
th:first-child,td:first-child,.word{text-align:left}td code{overflow-wrap:anywhere}th{color:var(--soft);font-weight:600}nav a{display:inline-block;margin-right:1.2em}a{color:inherit}
footer{border-top:1px solid var(--line);margin-top:2em;padding-top:.8em}
)";

std::string number_text(double value) {
  return std::isnan(value) ? "none" : fmt::format("{:.5g}", value);
}

std::string input_text(const Value& value) {
  return std::holds_alternative<double>(value) ? fmt::format("{:.6g}", std::get<double>(value))
                                               : text_of(value);
}

std::string counts_text(const ResultTable& table) {
  const RunCounts counts = counts_of(table);
  std::string text = fmt::format("{} runs: {} done, {} failed, {} refused", counts.all(), counts.done,
                                 counts.failed, counts.refused);
  if (counts.planned > 0) text += fmt::format(", {} not made yet", counts.planned);
  if (table.dropped > 0) text += fmt::format("; {} combinations left out by rules", table.dropped);
  return text;
}

std::string head(const ResultTable& table) {
  std::string factors;
  for (const FactorColumnInfo& factor : table.factors) {
    std::string values = factor.distribution;
    if (values.empty())
      for (const Value& value : factor.values) values += (values.empty() ? "" : ", ") + input_text(value);
    std::string keys;
    for (const std::string& key : factor.keys) keys += " " + key;
    factors +=
        fmt::format("<tr><td>{}</td><td class=\"word\">{}</td><td class=\"word\"><code>{}</code></td></tr>",
                    markup_safe(factor.label.empty() ? factor.name : factor.label), markup_safe(values),
                    markup_safe(keys.empty() ? "alternatives" : keys));
  }
  double seconds = 0;
  for (const ResultRow& row : table.rows) seconds += row.seconds;
  std::string shared = markup_safe(savings_text(table));
  for (std::size_t end = shared.find('\n'); end != std::string::npos; end = shared.find('\n', end))
    shared.replace(end, 1, "<br>");
  const std::string coarse = coarse_runs_text(table);
  if (!shared.empty()) shared = "<p class=\"soft\">" + shared + "</p>";
  if (!coarse.empty()) shared = "<p><strong>" + markup_safe(coarse) + "</strong></p>" + shared;
  return fmt::format(
      "<h1>{}</h1><p>{}{}</p><p>Base case <code>{}</code>, design {}. {}; {} of computing.</p>{}"
      "<div class=\"wide\"><table><tr><th>factor</th><th class=\"word\">values</th><th "
      "class=\"word\">key</th></tr>{}"
      "</table></div>",
      markup_safe(table.title), markup_safe(table.notes),
      table.invented ? " Invented for demonstration." : "", markup_safe(table.base), name_of(table.design),
      counts_text(table), duration_text(seconds), shared, factors);
}

/// The output in question first, as it is what the runs are sorted by.
std::string table_heading(const ResultTable& table, std::size_t output) {
  std::string heading =
      fmt::format("<tr><th>run</th><th>{}</th>", markup_safe(axis_of(table.outputs[output])));
  for (const FactorColumnInfo& factor : table.factors)
    heading += "<th>" + markup_safe(factor.label.empty() ? factor.name : factor.label) + "</th>";
  return heading + "</tr>";
}

std::string table_row(const ResultRow& row, std::size_t output) {
  std::string text =
      fmt::format("<tr><td>{}</td><td>{}</td>", row.number, number_text(row.outputs.at(output)));
  for (const Value& value : row.inputs) text += "<td>" + markup_safe(input_text(value)) + "</td>";
  return text + "</tr>";
}

/// Runs with the lowest and the highest values of an output, and how to open one.
std::string extremes_table(const ResultTable& table, std::size_t output, const std::string& study) {
  const std::vector<double> values = output_column(table, output);
  std::vector<std::size_t> order;
  for (std::size_t r = 0; r < values.size(); ++r)
    if (!std::isnan(values[r])) order.push_back(r);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return values[a] < values[b]; });
  if (order.empty()) return "";
  const std::size_t low = std::min(extremes, (order.size() + 1) / 2);
  const std::size_t high = std::min(extremes, order.size() - low);
  std::string rows;
  for (std::size_t i = 0; i < low; ++i) rows += table_row(table.rows[order[i]], output);
  std::string text = fmt::format("<h3>Lowest {} of {} runs</h3><div class=\"wide\"><table>{}{}</table></div>",
                                 low, order.size(), table_heading(table, output), rows);
  const std::string opened = fmt::format(
      "<p class=\"soft\">Any run as a case, to run and look at: <code>setstress study case {0} {1} &gt; "
      "run-{1}.toml</code></p>",
      markup_safe(study), table.rows[order.front()].number);
  if (high == 0) return text + opened;
  rows.clear();
  for (std::size_t i = 0; i < high; ++i) rows += table_row(table.rows[order[order.size() - 1 - i]], output);
  return text +
         fmt::format("<h3>Highest {}</h3><div class=\"wide\"><table>{}{}</table></div>", high,
                     table_heading(table, output), rows) +
         opened;
}

std::string output_section(const ResultTable& table, std::size_t output, const OutputFigures& figures,
                           const std::string& study) {
  std::string text = fmt::format(
      "<section id=\"{0}\"><h2>{1}</h2><p class=\"soft\">Column <code>{0}</code>, in each run's summary "
      "<code>{2}</code></p>",
      markup_safe(figures.name), markup_safe(axis_of(table.outputs[output])), markup_safe(figures.path));
  for (const std::string& pair : figures.pairs)
    text += fmt::format("<p><strong>{}</strong></p>", markup_safe(pair + "."));
  if (figures.ranking) text += ranking_table(*figures.ranking);
  text += "<div class=\"figures\">";
  for (const Figure& figure : figures.figures)
    text += fmt::format("<figure id=\"{}\">{}</figure>", markup_safe(figure.file), chart_svg(figure.chart));
  text += "</div>";
  for (const std::string& remark : figures.remarks)
    text += "<p class=\"soft\">" + markup_safe(remark) + "</p>";
  return text + extremes_table(table, output, study) + "</section>\n";
}

/// Runs that have no numbers, by what they said.
std::string failures(const ResultTable& table) {
  std::map<std::string, std::vector<int>> by_message;
  for (const ResultRow& row : table.rows)
    if (row.status == RunStatus::failed || row.status == RunStatus::refused)
      by_message[fmt::format("{}: {}", name_of(row.status), row.message)].push_back(row.number);
  for (const ResultRow& row : table.rows)
    if (row.status == RunStatus::done && !row.missing.empty())
      by_message["done, but without " + row.missing].push_back(row.number);
  if (by_message.empty()) return "";
  std::string rows;
  for (const auto& [message, numbers] : by_message) {
    std::string list;
    for (std::size_t i = 0; i < std::min<std::size_t>(numbers.size(), 12); ++i)
      list += fmt::format("{}{}", i > 0 ? ", " : "", numbers[i]);
    if (numbers.size() > 12) list += ", ...";
    rows += fmt::format("<p>{} ({} of them: {})</p>", markup_safe(message), numbers.size(), list);
  }
  return "<section><h2>Runs without numbers</h2>" + rows + "</section>\n";
}

std::string page_of(const ResultTable& table, const std::vector<OutputFigures>& outputs,
                    const std::string& study) {
  std::string links, sections;
  std::vector<std::size_t> order(outputs.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_partition(order.begin(), order.end(),  // what is paid comes after what is got
                        [&](std::size_t o) { return o != chair_time_output(table); });
  for (const std::size_t o : order) {
    links += fmt::format("<a href=\"#{}\">{}</a>", markup_safe(outputs[o].name),
                         markup_safe(label_of(table.outputs[o])));
    sections += output_section(table, o, outputs[o], study);
  }
  return fmt::format(
      "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" "
      "content=\"width=device-width,initial-scale=1\"><meta http-equiv=\"Content-Security-Policy\" "
      "content=\"default-src 'none'; style-src "
      "'unsafe-inline'\"><title>{0}</title><style>{1}{2}</style></head>\n"
      "<body><header>{3}<nav>{4}</nav></header>\n<main>{5}{6}</main>\n<footer>{7} Point at a mark to read "
      "its "
      "numbers.<br>{8}</footer></body></html>\n",
      markup_safe(table.title), page_style, chart_style(), head(table), links, sections, failures(table),
      "Runs are solved cases of one base case; means are over the runs of this study, not over patients.",
      caution_line);
}

std::vector<OutputFigures> all_figures(const ResultTable& table) {
  std::vector<OutputFigures> outputs;
  for (std::size_t o = 0; o < table.outputs.size(); ++o) outputs.push_back(figures_of(table, o));
  return outputs;
}

}  // namespace

std::string report_page(const ResultTable& table, const std::string& study_argument) {
  return page_of(table, all_figures(table), study_argument);
}

void write_report(const ResultTable& table, const std::string& study_argument,
                  const std::filesystem::path& folder) {
  ResultFolder place(folder);
  const std::vector<OutputFigures> outputs = all_figures(table);
  write_file(place.working() / "report.html", page_of(table, outputs, study_argument));
  for (const OutputFigures& output : outputs)
    for (const Figure& figure : output.figures)
      write_file(place.working() / "figures" / (figure.file + ".svg"), chart_file(figure.chart));
  write_file(place.working() / "runs.csv", as_csv(table));
  write_file(place.working() / "columns.csv", columns_csv(table));
  const nlohmann::ordered_json manifest{{"program", "setstress"},    {"version", SETSTRESS_VERSION},
                                        {"command", "study report"}, {"study", table.study},
                                        {"finished", true},          {"caution", caution_line}};
  write_file(place.working() / ResultLayout::manifest, manifest.dump(2) + "\n");
  place.publish();
}

std::string report_text(const ResultTable& table) {
  std::string text = fmt::format("{}\n{}\n\n{}", table.title, counts_text(table), outputs_text(table));
  for (std::size_t o = 0; o < table.outputs.size(); ++o) {
    const OutputFigures figures = figures_of(table, o);
    const std::string decides = figures.ranking ? ranking_sentence(*figures.ranking) : "";
    if (!decides.empty())
      text += fmt::format("\n  {}: share of the variance {}", table.outputs[o].name, decides);
    for (const std::string& pair : figures.pairs)
      text += fmt::format("\n  {}: {}", table.outputs[o].name, pair);
  }
  return text + "\n";
}

}  // namespace setstress
