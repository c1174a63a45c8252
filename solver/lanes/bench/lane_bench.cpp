// setstress_lane_bench: how fast lanes are on the processor and on a GPU, and whether both find the same.

#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <string>

#include "solver/lanes/gpu/gpu_lane_solver.hpp"
#include "solver/lanes/lane_system.hpp"

namespace setstress {

namespace {

constexpr double tolerance = 1e-5;
constexpr int repeats = 5, most_iterations = 500;

double seconds_now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

/// Bytes a second by a = b + 3 d on one thread, as far beyond the caches.
double triad() {
  constexpr std::size_t count = 20'000'000;
  std::vector<double> a(count), b(count, 1.0), d(count, 2.0);
  double best = 1e300;
  for (int repeat = 0; repeat < repeats; ++repeat) {
    const double start = seconds_now();
    for (std::size_t i = 0; i < count; ++i) a[i] = b[i] + 3 * d[i];
    best = std::min(best, seconds_now() - start);
  }
  return 3 * sizeof(double) * static_cast<double>(count) / best;
}

struct Solved {
  std::vector<std::vector<double>> x;
  int iterations = 0;  ///< of the lane that needs most
  double seconds = 1e300, bytes_per_iteration = 0;
  bool all_converged = true;
};

/// As many lanes as asked for, those of the system over and over.
Solved solve(LaneSolver& solver, const LaneSystem& system, int lanes) {
  const auto count = static_cast<std::size_t>(lanes);
  Solved solved;
  solved.x.assign(count, std::vector<double>(3 * static_cast<std::size_t>(system.mesh.nodes)));
  std::vector<std::span<const float>> moduli, bond;
  std::vector<std::span<const double>> right;
  std::vector<std::span<double>> x;
  for (std::size_t lane = 0; lane < count; ++lane) {
    const std::size_t own = lane % system.right.size();
    moduli.emplace_back(system.moduli[own]);
    bond.emplace_back(system.bond[own]);
    right.emplace_back(system.right[own]);
    x.emplace_back(solved.x[lane]);
  }
  solver.set_equations(system.equations);
  solver.set_sweeps(system.sweeps);
  solver.set_factor(system.factor);
  solver.set_values(moduli, bond);
  const std::vector<double> goals(count, tolerance);
  for (int repeat = 0; repeat < repeats; ++repeat) {
    const double start = seconds_now();
    const auto outcomes = solver.solve(right, goals, most_iterations, x);
    solved.seconds = std::min(solved.seconds, seconds_now() - start);
    for (const LaneOutcome& one : outcomes) {
      solved.iterations = std::max(solved.iterations, one.iterations);
      solved.all_converged = solved.all_converged && one.converged;
    }
  }
  solved.bytes_per_iteration = solver.bytes_per_iteration();
  return solved;
}

void print(const char* machine, int lanes, const Solved& solved, double bandwidth) {
  const double each = solved.seconds / solved.iterations, rate = solved.bytes_per_iteration / each;
  std::printf(
      "%-10s %5d lanes: %3d iterations, %8.3f ms each, %7.3f ms a lane and solve; %8.1f MB an iteration, "
      "%6.1f GB/s, %3.0f %% of %.0f%s\n",
      machine, lanes, solved.iterations, 1e3 * each, 1e3 * solved.seconds / lanes,
      1e-6 * solved.bytes_per_iteration, 1e-9 * rate, 100 * rate / bandwidth, 1e-9 * bandwidth,
      solved.all_converged ? "" : "; NOT all converged");
  std::fflush(stdout);
}

/// Largest difference over all lanes, of the largest number in each.
double difference(const Solved& a, const Solved& b) {
  double most = 0;
  for (std::size_t lane = 0; lane < a.x.size(); ++lane) {
    double apart = 0, largest = 0;
    for (std::size_t i = 0; i < a.x[lane].size(); ++i) {
      apart = std::max(apart, std::abs(a.x[lane][i] - b.x[lane % b.x.size()][i]));
      largest = std::max(largest, std::abs(b.x[lane % b.x.size()][i]));
    }
    most = std::max(most, apart / largest);
  }
  return most;
}

void run(const std::string& file, std::vector<int> on_gpu) {
  const LaneSystem system = read_lane_system(file);
  if (system.right.empty()) throw std::runtime_error("lane system " + file + ": it has no lanes");
  const auto mesh = std::make_shared<const LaneMesh>(system.mesh);
  std::printf(
      "%d nodes, %zu couplings, %zu tetrahedra of filling, %zu corners, %zu runs of rows, %zu lanes; solved "
      "to %g, best of %d\n",
      system.mesh.nodes, system.mesh.rows.column.size(), system.mesh.element.size(),
      system.mesh.corners.node.size(), system.mesh.run_start.size() - 1, system.right.size(), tolerance,
      repeats);
  const double bandwidth = triad();
  Solved reference;
  for (const int lanes : {8, 16, 32}) {
    reference = solve(*make_lane_solver(mesh, lanes), system, lanes);
    print("processor", lanes, reference, bandwidth);
  }
  if (const std::string why = why_no_gpu(); !why.empty()) {
    std::printf("GPU: not measured, %s\n", why.c_str());
    return;
  }
  const double gpu_bandwidth = gpu_copy_rate();
  if (on_gpu.empty()) on_gpu = {32, 64, 128, 256, 512, 1024};
  for (const int lanes : on_gpu) {
    const Solved solved = solve(*make_gpu_lane_solver(mesh, lanes), system, lanes);
    print("GPU", lanes, solved, gpu_bandwidth);
    std::printf("           differs by %.1e at most from the processor's\n", difference(solved, reference));
  }
}

}  // namespace

}  // namespace setstress

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fprintf(stderr,
                 "setstress_lane_bench FILE [LANES ...]: solves the system in FILE in lanes, on one thread "
                 "of the processor and, "
                 "if built with -DSETSTRESS_CUDA=ON, on a GPU, there with as many LANES.\nsetstress_bench "
                 "--lane-system FILE writes one.\n");
    return 2;
  }
  try {
    std::vector<int> on_gpu;
    for (int i = 2; i < argc; ++i) on_gpu.push_back(std::atoi(argv[i]));
    setstress::run(argv[1], on_gpu);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "setstress_lane_bench: %s\n", error.what());
    return 1;
  }
  return 0;
}
