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

void require_same_outputs(const ResultTable& before, const std::filesystem::path& file, const Study& study) {
  const auto same = [](const OutputColumnInfo& a, const Output& b) {
    return a.name == b.name && a.path == b.path;
  };
  for (const Output& output : study.outputs)
    if (std::none_of(before.outputs.begin(), before.outputs.end(),
                     [&](const OutputColumnInfo& known) { return same(known, output); }))
      refuse(file, study,
             fmt::format("output {} = \"{}\" was not kept of the runs that were made", output.name,
                         output.path));
  for (const OutputColumnInfo& known : before.outputs)
    if (std::none_of(study.outputs.begin(), study.outputs.end(),
                     [&](const Output& output) { return same(known, output); }))
      refuse(file, study, fmt::format("output {} = \"{}\" is there no more", known.name, known.path));
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
  const bool any_done =
      std::ranges::any_of(before.rows, [](const ResultRow& row) { return row.status == RunStatus::done; });
  if (!any_done) return {};  // nothing to keep: other outputs may be what was wrong
  require_same_outputs(before, file, study);
  std::map<std::string, int> rows;  // by case
  for (const StudyRow& row : plan.rows) {
    try {
      rows.emplace(case_sum(case_of(study, row)), row.number);
    } catch (const CaseError&) {  // refused when its turn comes
    }
  }
  Extension extension;
  for (const ResultRow& row : before.rows) {
    if (row.status != RunStatus::done && row.status != RunStatus::failed) continue;
    if (row.status == RunStatus::failed && row.case_sum.empty()) continue;  // its process died: made again
    const auto now = rows.find(row.case_sum);
    if (now == rows.end()) refuse(file, study, what_differs(before, row, study, plan));
    extension.emplace_back(row.number, now->second);
  }
  return extension;
}

}  // namespace setstress
