#include "cases/study/run_pool.hpp"

#include <fmt/format.h>
#include <poll.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <csignal>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <limits>

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// A record on its way through the pipe; numbers come out of JSON as they went in.
std::string packed(const RunRecord& record) {
  return ordered_json{{"status", static_cast<int>(record.status)},
                      {"outputs", record.outputs},  // NaN becomes null
                      {"message", record.message},
                      {"seconds", record.seconds},
                      {"mesh_seconds", record.mesh_seconds},
                      {"mesh_shared", record.mesh_shared}}
      .dump(-1, ' ', false, ordered_json::error_handler_t::replace);
}

std::optional<RunRecord> unpacked(const std::string& bytes) {
  const ordered_json json = ordered_json::parse(bytes, nullptr, false);
  if (!json.is_object()) return {};
  RunRecord record;
  record.status = static_cast<RunStatus>(json.at("status").get<int>());
  for (const ordered_json& output : json.at("outputs"))
    record.outputs.push_back(output.is_null() ? std::numeric_limits<double>::quiet_NaN()
                                              : output.get<double>());
  record.message = json.at("message");
  record.seconds = json.at("seconds");
  record.mesh_seconds = json.at("mesh_seconds");
  record.mesh_shared = json.at("mesh_shared");
  return record;
}

void write_all(int pipe, const std::string& bytes) {
  for (std::size_t at = 0; at < bytes.size();) {
    const ssize_t written = write(pipe, bytes.data() + at, bytes.size() - at);
    if (written > 0)
      at += static_cast<std::size_t>(written);
    else if (errno != EINTR)
      return;  // nobody reads any more
  }
}

/// What a run is in its own process.
[[noreturn]] void be_a_run(pid_t parent, int pipe, const std::function<RunRecord()>& run) {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (getppid() != parent) _exit(1);  // it died before that took hold
  std::signal(SIGINT, SIG_IGN);       // Ctrl-C reaches all of us; the parent decides
  std::signal(SIGTERM, SIG_DFL);
  write_all(pipe, packed(run()));
  _exit(0);
}

std::string cause_of_death(int status) {
  if (!WIFSIGNALED(status))
    return fmt::format("the run ended without a result (exit {})",
                       WIFEXITED(status) ? WEXITSTATUS(status) : 0);
  const int signal = WTERMSIG(status);
  return fmt::format("the run was ended by signal {} ({}){}", signal, strsignal(signal),
                     signal == SIGKILL ? ": by hand, or because memory ran out" : "");
}

}  // namespace

RunPool::~RunPool() {
  for (const Run& run : runs_) {
    kill(run.process, SIGKILL);
    waitpid(run.process, nullptr, 0);
    close(run.pipe);
  }
}

void RunPool::start(int row, const std::function<RunRecord()>& run) {
  int ends[2];
  if (pipe(ends) != 0) throw std::runtime_error(fmt::format("no pipe can be made: {}", std::strerror(errno)));
  std::fflush(nullptr);
  const pid_t parent = getpid(), process = fork();
  if (process == 0) {
    close(ends[0]);
    be_a_run(parent, ends[1], run);
  }
  close(ends[1]);
  if (process < 0) {
    close(ends[0]);
    throw std::runtime_error(fmt::format("no process can be started: {}", std::strerror(errno)));
  }
  runs_.push_back({row, process, ends[0], {}});
}

std::optional<RunPool::Finished> RunPool::wait(double patience) {
  std::vector<pollfd> waited;
  for (const Run& run : runs_) waited.push_back({run.pipe, POLLIN, 0});
  if (poll(waited.data(), waited.size(), static_cast<int>(1e3 * patience)) <= 0) return {};
  for (std::size_t i = 0; i < waited.size(); ++i) {
    if (waited[i].revents == 0) continue;
    char bytes[4096];
    const ssize_t count = read(runs_[i].pipe, bytes, sizeof bytes);
    if (count > 0) runs_[i].received.append(bytes, static_cast<std::size_t>(count));
    if (count == 0) return finish(i);
  }
  return {};
}

RunPool::Finished RunPool::finish(std::size_t which) {
  const Run run = std::move(runs_[which]);
  runs_.erase(runs_.begin() + static_cast<std::ptrdiff_t>(which));
  close(run.pipe);
  int status = 0;
  rusage used{};
  while (wait4(run.process, &status, 0, &used) < 0 && errno == EINTR) {
  }
  Finished finished{run.row, {}};
  if (auto record = unpacked(run.received); record && WIFEXITED(status) && WEXITSTATUS(status) == 0)
    finished.record = std::move(*record);
  else
    finished.record.message = cause_of_death(status);
  finished.record.memory_mb = static_cast<double>(used.ru_maxrss) / 1024;
  return finished;
}

double available_memory_mb() {
  double available = std::numeric_limits<double>::infinity();
  std::ifstream info("/proc/meminfo");
  for (std::string key, rest; info >> key && std::getline(info, rest);)
    if (key == "MemAvailable:") available = std::stod(rest) / 1024;
  const std::filesystem::path group = "/sys/fs/cgroup";
  double limit = 0, used = 0;
  if (!(std::ifstream(group / "memory.max") >> limit && std::ifstream(group / "memory.current") >> used))
    return available;
  std::ifstream statistics(group / "memory.stat");
  for (auto [key, bytes] = std::pair<std::string, double>(); statistics >> key >> bytes;)
    if (key == "active_file" || key == "inactive_file") used -= bytes;  // given back when asked for
  return std::min(available, (limit - used) / 1024 / 1024);
}

}  // namespace setstress
