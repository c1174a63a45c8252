#include "cases/study/runs/slurm.hpp"

#include <fmt/format.h>
#include <sys/wait.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <stdexcept>

namespace setstress {

namespace {

/// As one word of a shell.
std::string shell_word(const std::string& text) {
  std::string word = "'";
  for (const char c : text) word += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return word + "'";
}

std::string wall_clock(double seconds) {
  const auto minutes = static_cast<long>(std::ceil(seconds / 60));
  return fmt::format("{}-{:02}:{:02}:00", minutes / 1440, minutes / 60 % 24, minutes % 60);
}

}  // namespace

std::string ranges(const std::vector<int>& numbers) {
  std::string text;
  for (std::size_t i = 0; i < numbers.size();) {
    std::size_t last = i;
    while (last + 1 < numbers.size() && numbers[last + 1] == numbers[last] + 1) ++last;
    text += fmt::format("{}{}", text.empty() ? "" : ",", numbers[i]);
    if (last > i) text += fmt::format("-{}", numbers[last]);
    i = last + 1;
  }
  return text;
}

std::string slurm_script(const SlurmJob& job) {
  constexpr double spare_seconds = 300, least_memory = 256;
  std::string script = "#!/bin/sh\n";
  const auto option = [&](const std::string& text) { script += "#SBATCH " + text + "\n"; };
  option("--job-name=" + job.name);
  option(fmt::format("--array={}", ranges(job.shards)));
  option(fmt::format("--cpus-per-task={}", job.cores));
  option("--time=" + wall_clock(2 * job.seconds + spare_seconds));
  option(fmt::format("--mem={}M",
                     static_cast<int>(std::ceil(std::max(least_memory, 1.5 * job.memory_mb * job.cores)))));
  option("--requeue");
  option("--open-mode=append");
  option(fmt::format("--output={}/{}-%a.log", job.logs.string(), job.name));
  for (const std::string& given : job.options) option(given);
  script += fmt::format(
      "# Each part goes on where it was stopped: it may be killed, requeued and started again at will.\n"
      "export OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1\n"
      "exec {} study work {} --out {} --shard \"$SLURM_ARRAY_TASK_ID/{}\" --jobs {}{}{}\n",
      shell_word(std::filesystem::read_symlink("/proc/self/exe").string()), shell_word(job.study.string()),
      shell_word(job.out.string()), job.count, job.cores, job.lanes.empty() ? "" : " --lanes " + job.lanes,
      job.device.empty() ? "" : " --device " + job.device);
  return script;
}

void require_slurm() {
  if (std::system("command -v sbatch >/dev/null 2>&1") != 0)
    throw std::runtime_error(
        "there is no sbatch here, so nothing can be handed in to Slurm; on a machine of the cluster the same "
        "command "
        "works, and --no-submit writes the job without handing it in");
}

std::string submit(const std::filesystem::path& script) {
  const std::string command = "sbatch --parsable " + shell_word(script.string()) + " 2>&1";
  std::FILE* answer = popen(command.c_str(), "r");
  if (answer == nullptr) throw std::runtime_error("sbatch cannot be started");
  std::string said;
  for (int c = std::fgetc(answer); c != EOF; c = std::fgetc(answer)) said += static_cast<char>(c);
  const int status = pclose(answer);
  while (!said.empty() && said.back() == '\n') said.pop_back();
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0)
    throw std::runtime_error(
        fmt::format("the job was not accepted; sbatch said: {}\nThe script is {}; it can be changed and "
                    "handed in by hand",
                    said, script.string()));
  return said.substr(0, said.find(';'));  // of a federation: job;cluster
}

}  // namespace setstress
