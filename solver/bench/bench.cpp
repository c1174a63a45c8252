// setstress_bench: measures the speed that solver/README.md claims.

#include <fmt/format.h>
#include <omp.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <exception>
#include <nlohmann/json.hpp>

#include "solver/bench/clock.hpp"
#include "solver/bench/lane_boxes.hpp"
#include "solver/bench/machine.hpp"
#include "solver/bench/measure.hpp"
#include "solver/lanes/gpu/gpu_lane_solver.hpp"
#include "solver/machine/library_settings.hpp"

namespace setstress::bench {

std::vector<Measure> all_measures() {
  std::vector<Measure> all;
  for (const auto& part : {sequence_measures(), debonding_measures(), growth_measures(), thread_measures(),
                           many_measures(), lane_measures(), gpu_measures()})
    all.insert(all.end(), part.begin(), part.end());
  return all;
}

namespace {

nlohmann::json describe_machine() {
  const int cores = omp_get_num_procs();
  return {{"cores", cores},
          {"triad_GB_per_s", {{"one", triad_bandwidth(1)}, {"all", triad_bandwidth(cores)}}},
          {"gemm_Gflop_per_s", {{"one", gemm_rate(1)}, {"all", gemm_rate(cores)}}}};
}

nlohmann::json read(const Measure& measure, const Options& options) {
  const Clock clock;
  const Reading reading = measure.read(options);
  nlohmann::json row{{"name", measure.name},     {"value", reading.value},
                     {"unit", measure.unit},     {"meaning", measure.meaning},
                     {"detail", reading.detail}, {"seconds_taken", clock.seconds()}};
  if (measure.aim)
    row.update({{"aim", *measure.aim},
                {"aim_is", measure.at_least ? "at least" : "at most"},
                {"met", measure.met(reading.value)}});
  return row;
}

void print_row(const nlohmann::json& row) {
  const std::string against =
      row.contains("aim") ? fmt::format("{} {:g}: {}", row["aim_is"].get<std::string>(),
                                        row["aim"].get<double>(), row["met"].get<bool>() ? "met" : "NOT met")
                          : "no limit";
  fmt::print("{:<30} {:>10.3g} {:<3} ({})\n    {}\n", row["name"].get<std::string>(),
             row["value"].get<double>(), row["unit"].get<std::string>(), against,
             row["detail"].get<std::string>());
  std::fflush(stdout);
}

}  // namespace

}  // namespace setstress::bench

int main(int argc, char** argv) {
  using namespace setstress::bench;
  setstress::start_again_with_library_settings(argv);
  Options options;
  std::vector<std::string> only;
  std::string lane_system, meshes_to;
  bool json = false, list = false;
  CLI::App app(
      "Speed of the solvers. One thread unless --threads is given; then times are processor times, so that "
      "other "
      "work on the machine counts little. With more threads they are wall times: keep the machine idle.");
  app.add_option("--only", only, "measures to take, by name (default: all)");
  app.add_option("--threads", options.threads, "threads of both sides of each comparison")
      ->check(CLI::PositiveNumber);
  app.add_flag("--full", options.full,
               "run the references to the end instead of scaling a few of their steps");
  app.add_option("--meshes", options.meshes,
                 "take the meshes of runs in lanes from this folder: for machines without a mesher");
  app.add_option("--write-meshes", meshes_to, "make these meshes, write them to this folder, and stop");
  app.add_option(
      "--lane-system", lane_system,
      "write a system in lanes, ordered by color, to this file for setstress_lane_bench, and stop");
  app.add_flag("--json", json, "print JSON");
  app.add_flag("--list", list, "name the measures and stop");
  CLI11_PARSE(app, argc, argv);

  const std::vector<Measure> measures = all_measures();
  for (const std::string& name : only)
    if (std::none_of(measures.begin(), measures.end(), [&](const Measure& m) { return m.name == name; })) {
      fmt::print(stderr, "setstress_bench: there is no measure \"{}\"; --list names them\n", name);
      return 2;
    }
  if (list) {
    for (const Measure& measure : measures) fmt::print("{:<30} {}\n", measure.name, measure.meaning);
    return 0;
  }
  if (!meshes_to.empty()) {
    write_meshes(meshes_to);
    return 0;
  }
  if (!lane_system.empty()) {
    write(LaneBoxes(32, "coarse", options).system(setstress::LaneOrder::colors), lane_system);
    return 0;
  }
  nlohmann::json report{
      {"machine", describe_machine()}, {"threads", options.threads}, {"measures", nlohmann::json::array()}};
  if (!json) fmt::print("machine: {}\n", report["machine"].dump());
  if (const std::string why = setstress::why_no_gpu(); !json && !why.empty())
    fmt::print("GPU: nothing is measured on one, {}\n", why);
  for (const Measure& measure : measures) {
    if (!only.empty() && std::find(only.begin(), only.end(), measure.name) == only.end()) continue;
    try {
      report["measures"].push_back(read(measure, options));
    } catch (const std::exception& error) {
      fmt::print(stderr, "setstress_bench: {} could not be measured: {}\n", measure.name, error.what());
      return 1;
    }
    if (!json) print_row(report["measures"].back());
  }
  if (json) fmt::print("{}\n", report.dump(2));
  return 0;
}
