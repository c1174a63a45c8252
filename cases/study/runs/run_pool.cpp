#include "cases/study/runs/run_pool.hpp"

#include <fmt/format.h>
#include <poll.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
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
                      {"missing", record.missing},
                      {"summary", record.summary},
                      {"case_sum", record.case_sum},
                      {"seconds", record.seconds},
                      {"mesh_seconds", record.mesh_seconds},
                      {"mesh_shared", record.mesh_shared},
                      {"solution_shared", record.solution_shared},
                      {"saved_seconds", record.saved_seconds},
                      {"memory_mb", record.memory_mb},
                      {"lanes", record.lanes},
                      {"led_by", record.led_by},
                      {"machine", record.machine}}
             .dump(-1, ' ', false, ordered_json::error_handler_t::replace) +
         "\n";
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
  record.missing = json.at("missing");
  record.summary = json.at("summary");
  record.case_sum = json.at("case_sum");
  record.seconds = json.at("seconds");
  record.mesh_seconds = json.at("mesh_seconds");
  record.mesh_shared = json.at("mesh_shared");
  record.solution_shared = json.at("solution_shared");
  record.saved_seconds = json.at("saved_seconds");
  record.memory_mb = json.at("memory_mb");
  record.lanes = json.at("lanes");
  record.led_by = json.at("led_by");
  record.machine = json.at("machine");
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

double own_memory_mb() {
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  return static_cast<double>(used.ru_maxrss) / 1024;
}

int parents_pipe = -1;  ///< of a process of a pool

/// What a process of the pool does.
[[noreturn]] void make_runs(pid_t parent, int pipe, const std::vector<int>& rows,
                            const std::function<RunRecord(int)>& run) {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (getppid() != parent) _exit(1);                // it died before that took hold
  for (const int to_all_of_us : {SIGINT, SIGTERM})  // from a keyboard or a queue: the parent decides
    std::signal(to_all_of_us, SIG_IGN);
  parents_pipe = pipe;
  for (const int row : rows) {
    RunRecord record = run(row);
    record.memory_mb = own_memory_mb();
    write_all(pipe, packed(record));
  }
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
  for (const Process& process : processes_) {
    kill(process.id, SIGKILL);
    waitpid(process.id, nullptr, 0);
    close(process.pipe);
  }
}

void RunPool::start(const std::vector<int>& rows, const std::function<RunRecord(int)>& run, bool together) {
  int ends[2];
  if (pipe(ends) != 0) throw std::runtime_error(fmt::format("no pipe can be made: {}", std::strerror(errno)));
  std::fflush(nullptr);
  const pid_t parent = getpid(), id = fork();
  if (id == 0) {
    close(ends[0]);
    make_runs(parent, ends[1], rows, run);
  }
  close(ends[1]);
  if (id < 0) {
    close(ends[0]);
    throw std::runtime_error(fmt::format("no process can be started: {}", std::strerror(errno)));
  }
  processes_.push_back({{rows.begin(), rows.end()}, id, ends[0], together, {}, 0});
}

void RunPool::tell(double share) {
  using Clock = std::chrono::steady_clock;
  static Clock::time_point last;
  if (parents_pipe < 0 || Clock::now() - last < std::chrono::milliseconds(300)) return;
  last = Clock::now();
  write_all(parents_pipe, fmt::format("{:.4f}\n", share));
}

double RunPool::under_way() const {
  double runs = 0;
  for (const Process& process : processes_)
    if (!process.rows.empty())
      runs += process.share * (process.together ? static_cast<double>(process.rows.size()) : 1);
  return runs;
}

std::size_t RunPool::rows_in_hand() const {
  std::size_t count = finished_.size();
  for (const Process& process : processes_) count += process.rows.size();
  return count;
}

std::optional<RunPool::Finished> RunPool::wait(double patience) {
  std::vector<pollfd> waited;
  for (const Process& process : processes_) waited.push_back({process.pipe, POLLIN, 0});
  const int limit = finished_.empty() ? static_cast<int>(1e3 * patience) : 0;
  if (poll(waited.data(), waited.size(), limit) > 0)
    for (std::size_t i = waited.size(); i-- > 0;) {
      if (waited[i].revents == 0) continue;
      std::array<char, 1U << 16U> bytes;  // what a pipe holds
      const ssize_t count = read(processes_[i].pipe, bytes.data(), bytes.size());
      if (count > 0) processes_[i].received.append(bytes.data(), static_cast<std::size_t>(count));
      take_records(processes_[i]);
      if (count == 0) bury(i);
    }
  if (finished_.empty()) return {};
  Finished next = std::move(finished_.front());
  finished_.pop_front();
  return next;
}

void RunPool::take_records(Process& process) {
  for (std::size_t end = process.received.find('\n'); end != std::string::npos && !process.rows.empty();
       end = process.received.find('\n')) {
    const std::string line = process.received.substr(0, end);
    process.received.erase(0, end + 1);
    if (!line.starts_with('{')) {
      process.share = std::strtod(line.c_str(), nullptr);
      continue;
    }
    if (auto record = unpacked(line)) finished_.push_back({process.rows.front(), std::move(*record)});
    process.rows.pop_front();
    if (!process.together) process.share = 0;
  }
}

/// The run that a dead process was making has failed; those it had not begun are given back, and those it
/// made together.
void RunPool::bury(std::size_t which) {
  const Process process = std::move(processes_[which]);
  processes_.erase(processes_.begin() + static_cast<std::ptrdiff_t>(which));
  close(process.pipe);
  int status = 0;
  while (waitpid(process.id, &status, 0) < 0 && errno == EINTR) {
  }
  for (const int row : process.rows) {
    RunRecord record;
    const bool to_blame = !process.together && row == process.rows.front();
    record.status = to_blame ? RunStatus::failed : RunStatus::planned;
    if (record.status == RunStatus::failed) record.message = cause_of_death(status);
    finished_.push_back({row, record});
  }
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
