#pragma once
// Which number of summary.json to keep.

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "cases/study/file/output_words.hpp"

namespace setstress {

/// A named number of the summary: "bond[wall=floor].end.debonded_fraction". Parts are keys, joined by dots;
/// [3] or [last] picks an element of a list, [wall=floor, substrate=all] the first that agrees. Several paths
/// may be multiplied: "a.b * c.d".
struct Output {
  std::string name;
  std::string path;   ///< as written
  std::string place;  ///< "study.toml:31"; empty for what is kept unless a study says otherwise
  OutputWords words = {};  ///< for people
};

/// One step into the summary: a key, and perhaps which element of the list found there.
struct PathStep {
  std::string_view key;
  std::string_view element;  ///< what stands between the brackets; empty without
  /// "wall=floor, substrate=all" as pairs; empty for a position and "last".
  std::vector<std::pair<std::string, std::string>> conditions;
};

/// The steps of each factor of `path`, into which they point. Throws std::invalid_argument with a sentence
/// where it cannot be understood.
std::vector<std::vector<PathStep>> parsed_path(std::string_view path);

/// The number at `path`; NaN where the summary says null. Throws std::out_of_range with a sentence where the
/// summary has no such place, or no number there. Of gaps, of which one run has more than another, an element
/// that is not there gives NaN.
double value_at(const nlohmann::ordered_json& summary, std::string_view path);

/// The outputs that one summary has.
struct OutputValues {
  std::vector<double> values;  ///< by output; NaN where there is none
  std::string missing;         ///< which places it does not have, and why; empty for none
  int found = 0;               ///< outputs whose place it has
};
OutputValues values_of(const std::vector<Output>& outputs, const nlohmann::ordered_json& summary);

}  // namespace setstress
