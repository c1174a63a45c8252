#pragma once
// What sharing between the runs of a study saved.

#include <string>

#include "cases/study/table/result_table.hpp"

namespace setstress {

struct Savings {
  int meshes = 0, mesh_shared = 0;         ///< made; fetched instead
  int solutions = 0, solution_shared = 0;  ///< solved; judged instead
  double mesh_seconds = 0;      ///< saved: those fetched, at what the others took to make on average [s]
  double solution_seconds = 0;  ///< saved [s]
  double seconds = 0;           ///< that all runs took [s]
  int in_lanes = 0, lanes = 0;  ///< solved side by side, and in how many lanes at most
  int on_gpu = 0;               ///< of these, on a GPU
  [[nodiscard]] double whole() const {
    return seconds + mesh_seconds + solution_seconds;
  }  ///< without sharing [s]
};

/// Of the runs that are done.
Savings savings_of(const ResultTable& table);

/// The same in sentences; empty where nothing was shared.
std::string savings_text(const ResultTable& table);

}  // namespace setstress
