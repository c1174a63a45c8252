#pragma once
// What one factor does to an output: averaged over all the others, or from a base case one step at a time.

#include <cstdint>
#include <string>
#include <vector>

namespace setstress {

/// One factor over the runs of a study: a number each, or a word each where its values are no numbers.
struct FactorColumn {
  std::string name;
  std::vector<double> numbers;     ///< by run; empty where the values are words
  std::vector<std::string> words;  ///< by run; empty where they are numbers
  [[nodiscard]] bool is_number() const { return !numbers.empty(); }
  [[nodiscard]] std::size_t size() const { return is_number() ? numbers.size() : words.size(); }
};

/// Positions of runs that share a value of a factor, or a range of values where it takes too many.
struct Level {
  std::string name;  ///< "300", "60 to 90", "bulk"
  double at;         ///< the value, the mean over a range, or 0, 1, 2, ... for words in order of appearance
  bool is_range;     ///< several values were put together
  std::vector<std::size_t> runs;
};

/// Levels of a factor, rising (words: as they first appear). A number with more than `most` different values
/// is cut into `most` ranges of as equal a number of runs as ties allow.
std::vector<Level> levels_of(const FactorColumn& factor, std::size_t most = 8);

/// An output over the runs at one level of a factor, whatever the other factors were.
struct Effect {
  std::size_t level;        ///< position among the levels given
  int count = 0;            ///< runs with a value
  int missing = 0;          ///< runs without one: failed or not made
  double mean, median;      ///< NaN without a value, as those below
  double tenth, ninetieth;  ///< percentiles over the runs
  double smallest, largest;
};

/// One effect a level. `output` is by run, NaN where there is none. Throws std::out_of_range when a level
/// names a run that is not there.
std::vector<Effect> main_effect(const std::vector<Level>& levels, const std::vector<double>& output);

/// The reach of one factor around a base run from which runs differ in that factor alone.
struct Reach {
  std::size_t factor;      ///< position
  double lowest, highest;  ///< output [its unit], the base run's included
  std::size_t lowest_run, highest_run;
  int runs = 0;  ///< that differ from the base run in this factor alone and have a value
};

/// Factors with at least one such run, the widest reach first; ties in the order of the factors. Throws
/// std::invalid_argument when `base` has no value, std::out_of_range when it is not a run.
std::vector<Reach> tornado(const std::vector<FactorColumn>& factors, const std::vector<double>& output,
                           std::size_t base);

}  // namespace setstress
