#pragma once
// Cure as a result: what summary.json and `setstress check` say of it, in the same words and under the same
// keys, and what follows from that. Conversions are relative: the share of what the composite can reach.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cases/file/case.hpp"
#include "solver/report/cure_report.hpp"
#include "solver/report/wall_report.hpp"

namespace setstress {

/// Conversion at the bottom over that at the top below which an increment counts as under-cured [-]: hardness
/// at 80 % of that of the top, the usual line, goes with about this (Bouschlicher, Rueggeberg and Wilson
/// 2004, from memory).
inline constexpr double least_bottom_over_top = 0.9;
/// Conversion that the top itself must reach [-]: below it, the top is no yardstick. A choice, no source.
inline constexpr double least_top = 0.8;

/// By increment and by wall, at the end of the run; units in the key names. `rows` of the whole bond;
/// `finished`: the run reached its end, so that it can be judged (null where it did not).
nlohmann::ordered_json cure_json(const Case& input, const std::vector<IncrementCure>& increments,
                                 const std::vector<WallRow>& rows, bool finished);

/// Where a filling has not set as it should, as a summary or the report of a check says it.
struct UnderCure {
  bool known = false;           ///< false: written before cure was reported, or stopped before its end
  std::vector<int> increments;  ///< from 1
  std::vector<std::string> walls;
  std::string sentence;  ///< for people; empty where nothing is under-cured
  [[nodiscard]] bool found() const { return !sentence.empty(); }
};
UnderCure under_cure_of(const nlohmann::ordered_json& summary);

/// All that is to be warned of: increments thicker than their class is for, and under-cure. One sentence
/// each.
std::vector<std::string> cure_warnings(const nlohmann::ordered_json& summary);

/// By increment and wall, for people; empty without a filling.
std::string cure_text(const nlohmann::ordered_json& summary);

}  // namespace setstress
