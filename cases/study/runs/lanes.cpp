#include "cases/study/runs/lanes.hpp"

#include <fmt/format.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>

#include "cases/reader/case_error.hpp"
#include "solver/lanes/gpu/gpu_lane_solver.hpp"

namespace setstress {

namespace {

/// As why_no_gpu(), asked in a process of its own: what a GPU's driver sets up in this one, no process that
/// is forked from it later could use.
std::string why_no_gpu_in_a_fork() {
  int ends[2];
  if (pipe(ends) != 0) return "no process could be asked for it";
  std::fflush(nullptr);
  const pid_t id = fork();
  if (id == 0) {
    const std::string why = why_no_gpu();
    const ssize_t written = write(ends[1], why.data(), why.size());
    _exit(written == static_cast<ssize_t>(why.size()) ? 0 : 1);
  }
  close(ends[1]);
  std::array<char, 1000> why{};
  std::string said;
  for (ssize_t count = 0; id > 0 && (count = read(ends[0], why.data(), why.size())) > 0;)
    said.append(why.data(), static_cast<std::size_t>(count));
  close(ends[0]);
  int status = 0;
  if (id < 0 || waitpid(id, &status, 0) != id || status != 0) return "the process that looked for it failed";
  return said;
}

}  // namespace

Lanes lanes_from(const std::string& lanes, const std::string& device) {
  const int asked = lanes.empty() || lanes == "off" ? 0 : std::stoi(lanes);
  if (device != "gpu" && asked > usual_lanes)
    throw CaseError(
        fmt::format("--lanes {}: on the processor 8, 16 or 32; more are for --device gpu", asked));
  if (lanes == "off") return {0};
  if (device == "gpu") {
    const std::string why = why_no_gpu_in_a_fork();
    if (why.empty()) return {asked == 0 ? usual_gpu_lanes : asked, LaneMachine::gpu};
    tell_of_processor(why);
  }
  return {asked == 0 ? usual_lanes : std::min(asked, usual_lanes)};
}

int narrowest_lanes(std::size_t runs, LaneMachine machine) {
  if (machine == LaneMachine::gpu) return static_cast<int>((runs + 31) / 32 * 32);
  return runs <= 8 ? 8 : runs <= 16 ? 16 : 32;
}

void tell_of_processor(const std::string& why) {
  fmt::print(stderr, "setstress: --device gpu: no GPU can be used: {}; the processor is used\n", why);
}

std::string name_of(LaneMachine machine) {
  return machine == LaneMachine::gpu ? "gpu" : "processor";
}

}  // namespace setstress
