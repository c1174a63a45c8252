#pragma once
// A study as a job array of Slurm.

#include <filesystem>
#include <string>
#include <vector>

namespace setstress {

/// What the script asks of the cluster.
struct SlurmJob {
  std::string name;                     ///< of the job
  std::filesystem::path study;          ///< absolute
  std::filesystem::path out;            ///< folder of the database, absolute
  std::filesystem::path logs;           ///< absolute
  std::vector<int> shards;              ///< that have runs left
  int count = 1;                        ///< shards in all
  int cores = 1;                        ///< a shard, each for a run of its own
  double seconds = 0;                   ///< [s] that the longest shard is expected to take
  double memory_mb = 0;                 ///< [MB] of the largest run so far
  std::string lanes = {}, device = {};  ///< as given to --lanes and --device; empty: as usual
  std::vector<std::string> options;     ///< "--account=...", as given by the user; they win
};

/// The script: every shard is `setstress study work`, which goes on where it was stopped, so that Slurm may
/// requeue it at will. Time is twice what is expected and five minutes; memory once and a half the largest.
std::string slurm_script(const SlurmJob& job);

/// Throws std::runtime_error where there is no sbatch to hand a job to.
void require_slurm();

/// Hands a script in; returns the number of the job. Throws std::runtime_error with what sbatch said.
std::string submit(const std::filesystem::path& script);

/// "1-3,7": ranges of rising numbers.
std::string ranges(const std::vector<int>& numbers);

}  // namespace setstress
