#include "cases/study/table/extension.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "cases/study/design/case_sum.hpp"

namespace setstress {

namespace {

[[noreturn]] void refuse(const std::filesystem::path& file, const Study& study, const std::string& why) {
  throw CaseError(fmt::format(
      "{} holds results of {} before it was changed: {}. Put that back, or move the file away to start anew",
      file.string(), study.file.string(), why));
}

bool is_kept(const ResultRow& row) {
  return row.status == RunStatus::done || row.has_summary;
}

/// Which outputs are there already, under whatever name, and which must come from summaries; refuses both a
/// new output of a run that has no summary and an old one that would be lost with it.
void match_outputs(const ResultTable& before, const std::filesystem::path& file, const Study& study,
                   Extension& extension) {
  for (const Output& output : study.outputs) {
    const auto known = std::ranges::find(before.outputs, output.path, &OutputColumnInfo::path);
    if (known == before.outputs.end())
      extension.from_summaries.push_back(output.name);
    else
      extension.kept.emplace_back(known->name, output.name);
  }
  const auto is_bare = [](const ResultRow& row) { return row.status == RunStatus::done && !row.has_summary; };
  const auto bare = std::ranges::find_if(before.rows, is_bare);
  if (bare == before.rows.end()) return;
  const std::string why = fmt::format(
      "no summary was kept of {} of the runs that were made, such as run {}: an earlier setstress, "
      "which kept none, made them",
      std::ranges::count_if(before.rows, is_bare), bare->number);
  for (const Output& output : study.outputs)
    if (std::ranges::find(extension.from_summaries, output.name) != extension.from_summaries.end())
      refuse(file, study, fmt::format("output {} = \"{}\" is new, and {}", output.name, output.path, why));
  for (const OutputColumnInfo& known : before.outputs)
    if (std::ranges::find(study.outputs, known.path, &Output::path) == study.outputs.end())
      refuse(file, study,
             fmt::format("output {} = \"{}\" is there no more and would be lost, as {}", known.name,
                         known.path, why));
}

/// Which factor has lost the value of a run that was made; all factors of both that have the same name.
std::string what_differs(const ResultTable& before, const ResultRow& row, const Study& study,
                         const StudyPlan& plan) {
  for (std::size_t f = 0; f < before.factors.size(); ++f) {
    const std::string& name = before.factors[f].name;
    const std::string was = fmt::format("{} = {} in row {} there", name, text_of(row.inputs[f]), row.number);
    const auto now = std::find_if(study.factors.begin(), study.factors.end(),
                                  [&](const Factor& factor) { return factor.name == name; });
    if (now == study.factors.end()) return fmt::format("factor {} is there no more ({})", name, was);
    const auto at = static_cast<std::size_t>(now - study.factors.begin());
    if (std::none_of(plan.rows.begin(), plan.rows.end(),
                     [&](const StudyRow& each) { return each.values[at] == row.inputs[f]; }))
      return fmt::format("factor {} no longer takes the value {} (row {} there)", name,
                         text_of(row.inputs[f]), row.number);
  }
  for (const Factor& factor : study.factors)
    if (std::none_of(before.factors.begin(), before.factors.end(),
                     [&](const FactorColumnInfo& known) { return known.name == factor.name; }))
      return fmt::format(
          "factor {} is new, and in none of its runs has the case the value with which row {} was made",
          factor.name, row.number);
  return fmt::format(
      "the base case, [set] or an alternative is another one, or the combination of factors in row {} "
      "there is left out",
      row.number);
}

}  // namespace

Extension extension_of(const ResultTable& before, const std::filesystem::path& file, const Study& study,
                       const StudyPlan& plan) {
  Extension extension;
  if (std::ranges::none_of(before.rows, is_kept)) return extension;  // other outputs may be what was wrong
  match_outputs(before, file, study, extension);
  std::map<std::string, int> rows;  // by case
  for (const StudyRow& row : plan.rows) {
    try {
      rows.emplace(case_sum(case_of(study, row)), row.number);
    } catch (const CaseError&) {  // refused when its turn comes
    }
  }
  for (const ResultRow& row : before.rows) {
    if (row.status != RunStatus::done && row.status != RunStatus::failed) continue;
    if (row.status == RunStatus::failed && row.case_sum.empty()) continue;  // its process died: made again
    const auto now = rows.find(row.case_sum);
    if (now == rows.end()) refuse(file, study, what_differs(before, row, study, plan));
    extension.rows.emplace_back(row.number, now->second);
  }
  return extension;
}

}  // namespace setstress
