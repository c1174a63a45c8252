#pragma once
// The runs of a study: which values every factor takes in each of them.

#include <string>
#include <vector>

#include "cases/file/case.hpp"
#include "cases/study/file/study.hpp"

namespace setstress {

/// One run to be made.
struct StudyRow {
  int number;                 ///< from 1, without gaps
  std::vector<Value> values;  ///< by factor
  /// Which sample of a design for Sobol indices this is: 0 for A, 1 for B, 2 + i for A with factor i taken
  /// from B. Where a factor is crossed with draws: which of its values. 0 for all other designs.
  int block = 0;
  /// Position in its block, from 0: rows of one point have the same draw. Of designs without blocks: position
  /// before any were dropped.
  int point = 0;
};

struct StudyPlan {
  std::vector<StudyRow> rows;
  std::vector<int> dropped;  ///< combinations left out, by constraint; each by the first that holds
  std::vector<int> held;     ///< combinations for which it holds, by constraint
};

/// The same study gives the same rows.
StudyPlan plan_of(const Study& study);

/// The case of one row as a case file of its own: the base with the row's values, nothing left to look up
/// elsewhere but materials.include, whose paths are made absolute.
std::string case_text(const Study& study, const StudyRow& row);

/// Equal for rows whose cases have the same mesh as far as can be seen without reading them: geometry, sizes
/// and the layers of the plan. Throws CaseError where a factor does not fit the case.
std::string mesh_hint(const Study& study, const StudyRow& row);

/// Equal for rows on one mesh whose intact runs have the same solution as far as can be seen without reading
/// them: they differ in strengths, their maturity, and the wait before the first increment where the film
/// does not stiffen. No other row's where the bond may let go. Throws as mesh_hint().
std::string solution_hint(const Study& study, const StudyRow& row);

/// Whether the bond of a row's run holds by assumption, and nobody bites on its filling. Throws as
/// mesh_hint().
bool holds_throughout(const Study& study, const StudyRow& row);

/// Reads that text as a case. Throws CaseError where it is refused.
Case case_of(const Study& study, const StudyRow& row);

}  // namespace setstress
