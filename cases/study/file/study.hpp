#pragma once
// A study file as read: a base case, the factors that are varied, how they are combined, and the numbers to
// keep. See README.md in this folder for the file.

#include <toml++/toml.h>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cases/reader/toml_reader.hpp"
#include "cases/study/file/constraint.hpp"
#include "cases/study/file/output_path.hpp"
#include "cases/study/file/random_input.hpp"
#include "cases/study/file/value.hpp"

namespace setstress {

/// One of several ways to fill in a part of the case: tables that are laid over the base.
struct Alternative {
  std::string name;
  std::shared_ptr<const toml::table>
      file;  ///< the case file named, with all that it builds on; empty for none
  std::shared_ptr<const toml::table> set;  ///< written in the study itself; empty for none
};

struct Factor {
  std::string name;               ///< of its column
  std::string label;              ///< for people, with unit; the name unless given
  std::vector<std::string> keys;  ///< of the case file that take the value; empty for alternatives
  /// Values in order, on a grid or one at a time: of lists, ranges, names of alternatives; of a distribution
  /// some of its quantiles. Never empty.
  std::vector<Value> values;
  Value nominal;  ///< while other factors are varied one at a time
  std::vector<Alternative> alternatives;
  std::optional<RandomInput> distribution;
  std::string place;  ///< "study.toml:12"
};

/// How factors are combined.
enum class Design {
  grid,             ///< every value with every other
  one_at_a_time,    ///< all nominal, then every value of one factor while the others are nominal
  latin_hypercube,  ///< one point in each of `points` equally likely slices of every factor
  sobol,            ///< low-discrepancy sequence
  random,           ///< independent draws
  sobol_indices     ///< two samples A and B and, for each factor, A with that factor from B
};

struct Study {
  std::string name;            ///< of the file, without folder and ending
  std::filesystem::path file;  ///< the study file
  std::string title, notes;
  bool invented = false;
  std::string base_name;  ///< as written: a ready-made case, or a file
  toml::table base;       ///< the base case as one table, with all that it builds on and [set] above
  toml::table set;        ///< [set]: holds for all runs, so it lies over the files of alternatives, too
  Design design = Design::grid;
  int points = 0;  ///< of the sampled designs
  std::uint64_t seed = 1;
  std::vector<Factor> factors;
  std::optional<std::size_t>
      crossed;                    ///< the factor every value of which is run with each draw of the others
  std::vector<Constraint> drops;  ///< combinations for which one of these holds are left out
  std::vector<Output> outputs;
};

/// "grid", "one-at-a-time", ... as in study files.
std::string name_of(Design design);

/// Reads and checks a study file. Throws CaseError.
Study read_study(const std::filesystem::path& file);

/// `name_or_path` is a file, or the name of a ready-made study. Throws CaseError.
std::filesystem::path find_study(const std::string& name_or_path);

}  // namespace setstress
