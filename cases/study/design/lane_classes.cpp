#include "cases/study/design/lane_classes.hpp"

#include <algorithm>
#include <array>
#include <string>

namespace setstress {

namespace {

/// Whether runs that differ in this factor may advance together.
bool differs_in_numbers(const Factor& factor, const Value& value) {
  constexpr std::array<std::string_view, 3> places{"bond.", "plan.", "materials.override."};
  return factor.alternatives.empty() && std::holds_alternative<double>(value) &&
         std::ranges::all_of(factor.keys, [&](const std::string& key) {
           return std::ranges::any_of(places, [&](std::string_view place) { return key.starts_with(place); });
         });
}

/// Equal for rows of one class. A number that is zero may leave out what others have: a wait, a law.
std::string class_hint(const Study& study, const StudyRow& row) {
  std::string hint = mesh_hint(study, row);
  for (std::size_t f = 0; f < study.factors.size(); ++f) {
    const Value& value = row.values[f];
    hint += '\n';
    if (differs_in_numbers(study.factors[f], value))
      hint += std::get<double>(value) == 0 ? "zero" : "number";
    else
      hint += text_of(value);
  }
  return hint;
}

}  // namespace

LaneClasses::LaneClasses(const Study& study, const StudyPlan& plan, std::size_t fewest) {
  std::map<std::string, std::vector<const StudyRow*>> by_solution;
  for (const StudyRow& row : plan.rows) {
    try {
      if (holds_throughout(study, row)) by_solution[solution_hint(study, row)].push_back(&row);
    } catch (const CaseError&) {  // no case: refused where it is made
    }
  }
  std::map<std::string, std::vector<const StudyRow*>> by_class;
  for (const auto& [hint, rows] : by_solution)
    if (rows.size() == 1) by_class[class_hint(study, *rows.front())].push_back(rows.front());
  for (auto& [hint, rows] : by_class) {
    if (rows.size() < fewest) continue;
    std::ranges::sort(rows, {}, &StudyRow::number);
    for (const StudyRow* row : rows) class_of_[row->number] = classes_.size();
    classes_.push_back(std::move(rows));
  }
}

const std::vector<const StudyRow*>& LaneClasses::with(int row) const {
  static const std::vector<const StudyRow*> none;
  const auto found = class_of_.find(row);
  return found == class_of_.end() ? none : classes_[found->second];
}

}  // namespace setstress
