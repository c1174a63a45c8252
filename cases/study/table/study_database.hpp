#pragma once
// The database of a study: which runs there are to be, and what came of those that were made. README.md in
// this folder shows its tables.

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/study/design/study_plan.hpp"
#include "cases/study/table/extension.hpp"
#include "cases/study/table/result_table.hpp"
#include "cases/study/table/sqlite.hpp"

namespace setstress {

/// What came of one run.
struct RunRecord {
  RunStatus status = RunStatus::failed;
  std::vector<double> outputs;  ///< by output; NaN where there is none; empty unless done
  std::string message;   ///< of a run that is done: that its mesh is too coarse for percentiles; else why it
                         ///< has no numbers
  std::string missing;   ///< outputs that its summary does not have, and why; empty for none
  std::string summary;   ///< as in summary.json; empty where there is none
  std::string case_sum;  ///< of the case, see case_sum.hpp; empty where it could not be read
  double seconds = 0;    ///< [s] in all
  double mesh_seconds = 0;       ///< [s] of these for the mesh and what the solver prepares on it
  bool mesh_shared = false;      ///< it was there from an earlier run
  bool solution_shared = false;  ///< the one of an earlier run was judged again
  double saved_seconds = 0;      ///< by that [s]
  double memory_mb = 0;          ///< largest [MB]
  int lanes = 0;  ///< most runs that could advance with it; 0: made alone, or judged on another's solution
  std::string led_by;   ///< case_sum of the run that led them; empty: made alone
  std::string machine;  ///< "processor" or "gpu", that solved them; empty: made alone
};

class StudyDatabase {
 public:
  /// Opens the database of `study` at `file`, or makes it with all rows planned. One of an earlier state of
  /// the study is extended where every run that was made is also one of the study now; outputs that it did
  /// not have are taken from the summaries kept of the runs. Every record is on the disk when record()
  /// returns (write-ahead log, synchronous). Throws CaseError where the file is none of this study's, or
  /// holds runs of which no summary was kept and which lack an output; DatabaseError where it cannot be read
  /// or written.
  static StudyDatabase open(const std::filesystem::path& file, const Study& study, const StudyPlan& plan);

  /// One in memory, to be published as a whole: for folders shared by machines, where locks cannot be relied
  /// on.
  static StudyDatabase in_memory(const Study& study, const StudyPlan& plan);

  /// Takes over the runs that were made in another database of the same study; those here that are done stay.
  /// Returns how many were taken. Throws as open().
  int merge(const std::filesystem::path& other);

  /// Writes the whole under a name of its own beside `file` and renames that to it: readers see the old or
  /// the new one. Throws DatabaseError.
  void publish(const std::filesystem::path& file);

  /// Ends the write-ahead log, so that the one file can be copied, and read where nothing can be written.
  /// Left as it is while another program reads.
  void fold_log();

  /// What was taken over when this was opened.
  struct TakenOver {
    int runs = 0;                      ///< made of an earlier state of the study
    std::vector<std::string> outputs;  ///< that were taken from the summaries of these
    int summaries = 0;                 ///< from how many
  };
  /// Empty where the study was not changed.
  [[nodiscard]] const std::optional<TakenOver>& taken_over() const { return taken_over_; }
  /// All of it, as read_results() would have it once published.
  [[nodiscard]] ResultTable table() const;
  /// Numbers of the rows with this status.
  [[nodiscard]] std::vector<int> rows_with(RunStatus status) const;
  /// Of the runs that were solved, none judged on another's solution; 0 where there are none yet.
  [[nodiscard]] double mean_seconds() const;       ///< [s]
  [[nodiscard]] double largest_memory_mb() const;  ///< [MB]
  void record(int row, const RunRecord& record);
  /// Failed runs become planned again; returns how many.
  int retry_failed();

 private:
  StudyDatabase(Database database, const Study& study);
  [[nodiscard]] double number_of(const std::string& expression) const;
  void make_tables(const Study& study, const StudyPlan& plan, const std::string& fingerprint);
  void describe(const Study& study, const StudyPlan& plan);
  void add_columns_since(int format);
  void set_aside();
  void take_back(const Extension& extension);
  void take_outputs(const Extension& extension);
  [[nodiscard]] nlohmann::ordered_json parsed(const std::string& summary, int row) const;

  Database database_;
  std::vector<Output> outputs_;
  std::string columns_;  ///< all of them, as SQL lists them
  std::string fingerprint_;
  std::optional<TakenOver> taken_over_;
};

/// Names what a study runs and keeps: equal for two studies exactly when their tables can be put together.
std::string fingerprint_of(const Study& study, const StudyPlan& plan);

/// Throws CaseError unless `database`, from `file`, was written by a study of this program; returns the
/// format of its tables: 5; 4, which does not say on what machine runs advanced together; 3, which does not
/// say that they did; or 2, in which no summaries are kept.
int require_study_database(const Database& database, const std::filesystem::path& file);

}  // namespace setstress
