#pragma once
// The results of a study as read from its database.

#include <filesystem>
#include <string>
#include <vector>

#include "cases/study/file/study.hpp"
#include "cases/study/file/value.hpp"

namespace setstress {

class Database;

enum class RunStatus {
  planned,  ///< not made yet
  done,
  failed,  ///< the solver gave up, or the run died
  refused  ///< not a possible case; the message says why
};
std::string name_of(RunStatus status);

struct ResultRow {
  int number = 0;             ///< of the row, from 1
  int block = 0, point = 0;   ///< as in StudyRow
  std::vector<Value> inputs;  ///< by factor
  RunStatus status = RunStatus::planned;
  std::vector<double> outputs;  ///< by output; NaN where there is none
  std::string message;  ///< of runs that failed or were refused, or whose mesh is too coarse for percentiles
  double seconds = 0;   ///< it took, mesh and all
  double mesh_seconds = 0;  ///< of these for the mesh and what the solver prepares on it
  bool mesh_shared = false, solution_shared = false;  ///< there from an earlier run
  double solution_saved = 0;                          ///< by sharing the solution [s]
  std::string case_sum = {};                          ///< of its case, once it was made
  std::string missing = {};  ///< outputs that its summary does not have, and why; empty for none
  bool has_summary = false;  ///< kept in the database
  int lanes = 0;             ///< it advanced in one of so many; 0: alone
  bool on_gpu = false;       ///< which solved it
};

struct FactorColumnInfo {
  std::string name, label;
  std::vector<std::string> keys;  ///< of the case file; empty for alternatives
  std::vector<Value> values;      ///< in the order of the study file; of a distribution some of its quantiles
  Value nominal;
  std::string distribution;  ///< "normal(mean 0.7, deviation 0.1)"; empty where there is none
};

struct OutputColumnInfo {
  std::string name;
  std::string path;        ///< in summary.json
  OutputWords words = {};  ///< for people
};

struct ResultTable {
  std::string study, title, notes;
  bool invented = false;
  std::string base;  ///< the case that is the same in all runs but for the factors
  Design design = Design::grid;
  std::string crossed;  ///< factor every value of which was run with each draw; empty for none
  int dropped = 0;      ///< combinations left out by constraints
  std::vector<FactorColumnInfo> factors;
  std::vector<OutputColumnInfo> outputs;
  std::vector<ResultRow> rows;  ///< by number; those not made yet included
};

/// All that a study's database of format 2 to 4 holds. Throws DatabaseError.
ResultTable table_of(const Database& source, int format);

/// Throws CaseError where the file is not there, is no database of a study, or is damaged.
ResultTable read_results(const std::filesystem::path& database);

/// The database of a study: its name with ending .sqlite in `folder`, or beside the study file where that is
/// empty (in the present folder for ready-made studies).
std::filesystem::path database_of(const std::filesystem::path& study_file,
                                  const std::filesystem::path& folder);

/// All columns, as comma-separated values with a heading; outputs with their unit, where their name does not
/// end in it.
std::string as_csv(const ResultTable& table);

/// What the columns of factors and outputs are: column, label, unit, and the key of the case file or the
/// place in summary.json, as comma-separated values with a heading.
std::string columns_csv(const ResultTable& table);

}  // namespace setstress
