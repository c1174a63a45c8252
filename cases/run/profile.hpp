#pragma once
// Where the seconds of a run went.

#include <string>
#include <vector>

#include "solver/run/simulate.hpp"

namespace setstress {

/// What a run spends outside of the solver [s].
struct SecondsOutside {
  double mesh = 0;           ///< geometry, meshing, filling in the laws
  double statistics = 0;     ///< of walls and tissues, at every step
  double files = 0;          ///< tables, picture, waiting for frames
  double whole = 0;          ///< from the case to the finished folder, solver included
  double frames_beside = 0;  ///< writing frames in the background, beside all that
};

struct Profile {
  struct Row {
    std::string what;
    double seconds;
  };
  std::vector<Row> rows;  ///< add up to `whole`
  double whole;           ///< [s]
  double frames_beside;   ///< in the background, not part of `whole` [s]
  double peak_memory;     ///< of the program so far [MB]
  Timings counts;         ///< what was done
};

Profile profile_of(const Timings& solver, const SecondsOutside& outside);

/// A table for people.
std::string profile_text(const Profile& profile);

}  // namespace setstress
