#pragma once
// A case solved the way a user solves it: a case file, the program, and its result files read back.

#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/scratch_folder.hpp"
#include "viz/files/result_reader.hpp"

namespace setstress::testing {

/// One line of a table: the cells by heading, as text.
using TableLine = std::map<std::string, std::string>;
/// The cell `heading` as a number; throws std::out_of_range or std::invalid_argument.
double number_in(const TableLine& line, const std::string& heading);

/// One line of walls.csv: numbers by heading, units in the headings.
struct WallLine {
  double time;  ///< [s]
  std::string event, wall, substrate;
  std::map<std::string, double> numbers;  ///< absent where nothing was placed
};

class SolvedCase {
 public:
  /// Writes `case_text` as a case file into a scratch folder and runs `setstress run` on it, with `options`
  /// of the command line. `base` and `include` may name files by absolute path. Throws std::runtime_error
  /// with what the program said when it fails.
  explicit SolvedCase(const std::string& case_text, const std::string& options = "");

  [[nodiscard]] const nlohmann::json& summary() const { return summary_; }
  [[nodiscard]] const nlohmann::json& manifest() const { return manifest_; }
  /// The entry of summary.json for a wall and a substrate ("all" for all of them). Throws std::out_of_range.
  [[nodiscard]] const nlohmann::json& bond_row(const std::string& wall,
                                               const std::string& substrate = "all") const;
  /// walls.csv, one line a step, wall and substrate; only those of `wall` and `substrate` unless empty.
  [[nodiscard]] std::vector<WallLine> walls(const std::string& wall = "",
                                            const std::string& substrate = "") const;
  /// All lines of a table in the result folder: "energies.csv", "holds.csv".
  [[nodiscard]] std::vector<TableLine> table(const std::string& name) const;
  /// Files of the instant nearest to `time` [s]; the last one by default.
  [[nodiscard]] BondSurface bond(double time = 1e300) const;
  [[nodiscard]] VolumeCells volume(double time = 1e300) const;
  /// "12,345 unknowns, 0.5 mm along the bond": for reports.
  [[nodiscard]] std::string mesh_text() const;
  [[nodiscard]] std::filesystem::path folder() const { return scratch_ / "result"; }

 private:
  [[nodiscard]] const ResultFrame& frame_near(double time) const;

  ScratchFolder scratch_;
  nlohmann::json summary_, manifest_;
  Result result_;
};

/// Runs `setstress run` on `case_text`, which must be refused; what the program said.
std::string refusal_of(const std::string& case_text);

}  // namespace setstress::testing
