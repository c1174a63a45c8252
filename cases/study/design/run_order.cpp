#include "cases/study/design/run_order.hpp"

#include <algorithm>
#include <map>
#include <tuple>

namespace setstress {

namespace {

/// Numbers names in the order in which they first come.
int number_of(const std::string& name, std::map<std::string, int>& numbers) {
  return numbers.emplace(name, static_cast<int>(numbers.size())).first->second;
}

}  // namespace

RunOrder order_of(const Study& study, const StudyPlan& plan, const std::vector<int>& numbers) {
  RunOrder order;
  std::map<std::string, int> meshes, solutions;
  for (const int number : numbers) {
    const StudyRow& row = plan.rows.at(static_cast<std::size_t>(number - 1));
    try {
      order.runs.push_back({&row, number_of(mesh_hint(study, row), meshes),
                            number_of(solution_hint(study, row), solutions), 1});
    } catch (const CaseError& error) {
      order.refused.emplace_back(number, error.what());
    }
  }
  std::stable_sort(order.runs.begin(), order.runs.end(), [](const OrderedRun& a, const OrderedRun& b) {
    return std::tie(a.mesh, a.solution) < std::tie(b.mesh, b.solution);
  });
  for (std::size_t i = 1; i < order.runs.size(); ++i)
    if (order.runs[i].solution == order.runs[i - 1].solution) order.runs[i].work = work_of_judging;
  for (const OrderedRun& run : order.runs) order.work += run.work;
  order.meshes = static_cast<int>(meshes.size());
  order.solutions = static_cast<int>(solutions.size());
  return order;
}

}  // namespace setstress
