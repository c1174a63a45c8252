#include "cases/study/report/study_text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "cases/pose/unused_values.hpp"
#include "cases/study/file/conflicts.hpp"
#include "cases/study/report/report_data.hpp"
#include "cases/study/report/report_notes.hpp"
#include "cases/study/runs/slurm.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace {

/// Whether some rows may let the bond go though the base does not.
bool sets_mode(const Factor& factor) {
  return !factor.alternatives.empty() || std::ranges::find(factor.keys, "solver.mode") != factor.keys.end();
}

/// Rows with this status by message, in the order in which messages first occur.
std::vector<std::pair<std::string, std::vector<int>>> by_message(const ResultTable& table, RunStatus status) {
  std::vector<std::pair<std::string, std::vector<int>>> groups;
  for (const ResultRow& row : table.rows) {
    if (row.status != status) continue;
    auto group = std::find_if(groups.begin(), groups.end(),
                              [&](const auto& known) { return known.first == row.message; });
    if (group == groups.end()) group = groups.insert(groups.end(), {row.message, {}});
    group->second.push_back(row.number);
  }
  return groups;
}

/// Runs that are done without some of their outputs; equal reasons once.
std::string missing_text(const ResultTable& table) {
  std::map<std::string, std::vector<int>> by_reason;
  for (const ResultRow& row : table.rows)
    if (row.status == RunStatus::done && !row.missing.empty()) by_reason[row.missing].push_back(row.number);
  std::string text;
  for (const auto& [reason, rows] : by_reason)
    text += fmt::format("  row{} {} without {}\n", rows.size() > 1 ? "s" : "", ranges(rows), reason);
  return text;
}

/// Factors whose column would show no effect for want of a law that reads it.
std::string unused_factors_text(const Study& study) {
  const bool debonds = study.base.at_path("solver.mode").value_or(std::string()) == "debonding";
  std::string text;
  for (const Factor& factor : study.factors)
    for (const std::string& key : factor.keys) {
      const bool may_debond = debonds || std::ranges::any_of(study.factors, sets_mode);
      if (const auto why = why_unused(key, may_debond ? Mode::debonding : Mode::intact))
        text += fmt::format("Note: {}: factor \"{}\" changes {}, which changes no result: {}\n", factor.place,
                            factor.name, key, *why);
    }
  return text;
}

}  // namespace

std::string plan_text(const Study& study, const StudyPlan& plan) {
  const int dropped = std::accumulate(plan.dropped.begin(), plan.dropped.end(), 0);
  std::vector<std::string> names;
  for (const Factor& factor : study.factors) names.push_back(factor.name);
  std::string text = fmt::format("{}{}: {} runs of {} ({}; {})\n", study.title,
                                 study.invented ? ", invented for demonstration" : "", plan.rows.size(),
                                 study.base_name, name_of(study.design), fmt::join(names, ", "));
  if (dropped > 0) text += fmt::format("Combinations left out: {}\n", dropped);
  for (std::size_t i = 0; i < plan.dropped.size(); ++i)
    text += fmt::format("  {} by \"{}\"\n", plan.dropped[i], study.drops[i].text);
  for (const std::string& note : notes_on_alternatives(study)) text += fmt::format("Note: {}\n", note);
  return text + unused_factors_text(study);
}

std::string work_text(const RunOrder& order, double seconds) {
  const std::size_t runs = order.runs.size();
  std::string text =
      fmt::format("{} runs to make on {} mesh{}: ", runs, order.meshes, order.meshes == 1 ? "" : "es");
  text +=
      static_cast<std::size_t>(order.solutions) == runs
          ? "each is solved by itself\n"
          : fmt::format(
                "{} to solve; the others differ from one of them only in strength or in the first wait, and "
                "are judged on its solution\n",
                order.solutions);
  if (seconds > 0)
    text += fmt::format("They take about {} of one core\n", duration_text(order.work * seconds));
  return text;
}

std::string taken_over_text(const StudyDatabase::TakenOver& taken) {
  std::string text = fmt::format("{} run{} taken over from the study as it was before it was changed\n",
                                 taken.runs, taken.runs == 1 ? " is" : "s are");
  if (!taken.outputs.empty())
    text += fmt::format("Outputs taken from the summaries kept of {} runs, without solving: {}\n",
                        taken.summaries, fmt::join(taken.outputs, ", "));
  return text;
}

std::string tally_text(const RunTally& t) {
  const int made = t.done + t.failed;
  std::string text =
      fmt::format("{} runs done, {} failed, {} refused, {} left\n", t.done, t.failed, t.refused, t.left);
  if (made > 0 && t.wall_seconds > 0)
    text += fmt::format("{} by the clock, {} side by side: {:.0f} runs an hour; at most {:.0f} MB each\n",
                        duration_text(t.wall_seconds), t.side_by_side, 3600 * made / t.wall_seconds,
                        t.largest_memory_mb);
  return text;
}

std::string coarse_runs_text(const ResultTable& table) {
  const ResultRow* first = nullptr;
  int coarse = 0;
  for (const ResultRow& row : table.rows) {
    if (row.status != RunStatus::done || row.message.empty()) continue;
    if (first == nullptr) first = &row;
    ++coarse;
  }
  if (first == nullptr) return "";
  return fmt::format(
      "{} of {} runs are marked, such as run {}: {}. Do not judge by their percentiles and areas.", coarse,
      table.rows.size(), first->number, first->message);
}

std::string outputs_text(const ResultTable& table) {
  std::string text = fmt::format("  {:<24}{:>11}{:>11}{:>11}  {:<7}{}\n", "output", "lowest", "mean",
                                 "highest", "unit", "what");
  for (std::size_t o = 0; o < table.outputs.size(); ++o) {
    std::vector<double> values = output_column(table, o);
    std::erase_if(values, [](double value) { return std::isnan(value); });
    const OutputColumnInfo& output = table.outputs[o];
    const std::string what = fmt::format("  {:<7}{}", output.words.unit, label_of(output));
    if (values.empty()) {
      text += fmt::format("  {:<24}{:>33}{}\n", output.name, "no run has a value", what);
      continue;
    }
    const auto [low, high] = std::ranges::minmax(values);
    const double mean =
        std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
    text += fmt::format("  {:<24}{:>11.4g}{:>11.4g}{:>11.4g}{}\n", output.name, low, mean, high, what);
  }
  return text;
}

std::string results_text(const ResultTable& table) {
  const auto count = [&](RunStatus status) {
    return std::count_if(table.rows.begin(), table.rows.end(),
                         [&](const ResultRow& row) { return row.status == status; });
  };
  std::string text = fmt::format(
      "{}: {} runs; {} done, {} failed, {} refused, {} not made yet\n", table.title, table.rows.size(),
      count(RunStatus::done), count(RunStatus::failed), count(RunStatus::refused), count(RunStatus::planned));
  if (const std::string coarse = coarse_runs_text(table); !coarse.empty()) text += coarse + "\n";
  for (const auto& [status, word] : {std::pair{RunStatus::failed, "failed"}, {RunStatus::refused, "refused"}})
    for (const auto& [message, rows] : by_message(table, status))
      text += fmt::format("  row{} {} {}: {}\n", rows.size() > 1 ? "s" : "", ranges(rows), word, message);
  return text + missing_text(table);
}

}  // namespace setstress
