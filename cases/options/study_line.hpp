#pragma once
// What the user asked `setstress study` for.

#include <filesystem>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace setstress {

struct StudyLine {
  enum class Verb { run, plan, work, collect, csv, make_case, list, report };
  Verb verb = Verb::run;
  std::string study;          ///< a study file or the name of a ready-made study
  std::filesystem::path out;  ///< folder of the database, or file to write; empty: the usual place
  int jobs = 0;               ///< runs side by side; 0: as many as cores
  std::string lanes;          ///< "8", "16", ... "1024" or "off"; empty: as usual
  std::string device;         ///< "cpu" or "gpu"; empty: as usual
  bool retry = false;         ///< make failed runs again
  bool columns = false;       ///< of verb csv: what the columns are, not what they hold
  int row = 0;                ///< of verb make_case
  std::string shard;          ///< "3/16"
  std::string on;             ///< "slurm", or empty for this machine
  int shards = 0;             ///< jobs of the array; 0: as many as useful, 16 at most
  bool submit = true;         ///< hand the job array in, once written
  std::string account, partition;
  std::vector<std::string> sbatch;  ///< further options, passed on as they are
  bool quiet = false;
};

/// Adds options --lanes, with its help, and --device to `command`.
void add_lanes(CLI::App* command, std::string& lanes, std::string& device, const std::string& help);

/// Adds command `study` with all it understands to `app`.
CLI::App* describe_study(CLI::App& app, StudyLine& line);

}  // namespace setstress
