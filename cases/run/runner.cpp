#include "cases/run/runner.hpp"

#include <fmt/format.h>

#include <optional>

#include "cases/fluid/gap_fluid.hpp"
#include "cases/pose/pose.hpp"
#include "cases/pose/unused_values.hpp"
#include "cases/result/bites.hpp"
#include "cases/result/gap_report.hpp"
#include "cases/result/manifest.hpp"
#include "cases/result/result_folder.hpp"
#include "cases/result/summary.hpp"
#include "cases/run/frame_writer.hpp"
#include "cases/run/interrupt.hpp"
#include "cases/run/kept_run.hpp"
#include "cases/run/optional_picture.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/run_in_numbers.hpp"
#include "solver/machine/stopwatch.hpp"
#include "solver/run/shared_mesh.hpp"
#include "viz/files/write_file.hpp"
#include "viz/pictures/pictures.hpp"

namespace setstress {

namespace {

/// `run` hands every frame to a sink.
SolvedCase solved_by(const Case& input, const Model& model, const LightPaths& light, const StepWatch& watch,
                     const std::function<Outcome(const FrameSink&)>& run) {
  RunInNumbers numbers(input, model, light, watch);
  return numbers.ended(run([&](const Frame& frame, const Progress& at) { return numbers.see(frame, at); }));
}

/// Runs the solver, keeping numbers of every step and files of the wanted ones.
SolvedCase solve_into(const Case& input, const Model& model, const std::filesystem::path& folder, bool quiet,
                      SecondsOutside& outside, KeptRun* kept) {
  FrameWriter writer(model, input, folder);
  ProgressLine progress(input.name, quiet);
  const InterruptGuard interrupt;
  SolvedCase solved =
      solve_case(input, model, [&](const Frame& frame, const HistoryEntry& entry, const Progress& at) {
        {
          const Stopwatch watch(outside.files);
          writer.offer({frame, entry.gap_of_facet},
                       entry.rows.empty() ? std::pair{0.0, 0.0} : badness(entry.rows.back().statistics));
        }
        if (kept != nullptr) kept->add(frame);
        progress.show(at.fraction, fmt::format("{:.1f} s of {:.0f} s{}", at.time, at.end,
                                               frame.light_on ? ", light on" : ""));
        return !interrupt.asked_to_stop();
      });
  const Stopwatch watch(outside.files);
  writer.finish();
  outside.frames_beside = writer.background_seconds();
  return solved;
}

Model pose_timed(const Case& input, double& seconds) {
  const Stopwatch watch(seconds);
  return pose(input);
}

/// Everything but frames and picture.
void write_numbers(const Case& input, const Model& model, const SolvedCase& solved,
                   const std::filesystem::path& folder) {
  write_file(folder / ResultLayout::walls, walls_table(solved.history));
  write_file(folder / ResultLayout::energies, energies_table(solved.history));
  write_file(folder / ResultLayout::holds, holds_table(model, solved.history));
  if (!model.timeline.bites.empty()) write_file(folder / bites_table_name, bites_table(solved.history));
  write_file(folder / Instruments::table_name,
             readings_table(solved.history, Instruments(input, model).area()));
  if (!solved.gaps_table.empty()) write_file(folder / GapReport::table_name, solved.gaps_table);
  if (!solved.fluid_table.empty()) write_file(folder / fluid_table_name, solved.fluid_table);
  write_file(
      folder / ResultLayout::case_file,
      fmt::format("# {} as setstress {} ran it, in one file that needs no other: setstress run {}\n\n{}",
                  input.name, SETSTRESS_VERSION, ResultLayout::case_file, input.alone));
  write_file(folder / ResultLayout::summary, solved.summary.dump(2) + "\n");
  Outcome outcome = solved.outcome;
  for (const nlohmann::ordered_json& warning : solved.summary.at("warnings"))
    outcome.warnings.push_back(warning.get<std::string>());
  write_file(folder / ResultLayout::manifest, manifest_of(input, model.mesh, outcome).dump(2) + "\n");
}

}  // namespace

std::optional<WeakestLinks> weakest_links(const Case& input, const Model& model) {
  if (input.solver.mode != Mode::intact || !model.strength_factors.empty()) return std::nullopt;
  return WeakestLinks(model);
}

SolvedCase solve_case(const Case& input, const Model& model, const StepWatch& watch) {
  return solved_by(input, model, LightPaths(model.mesh), watch,
                   [&](const FrameSink& sink) { return simulate(model, input.solver, sink); });
}

SolvedCase solve_case(const Case& input, const Model& model, const StepWatch& watch,
                      const SharedMesh& shared) {
  return solved_by(input, model, shared.light(), watch,
                   [&](const FrameSink& sink) { return simulate(model, input.solver, sink, shared); });
}

namespace {

/// `keep`: where to keep an intact run; null: nowhere.
RunReport run_into(const Case& input, const std::filesystem::path& out, bool quiet,
                   std::unique_ptr<KeptRun>* keep) {
  SecondsOutside outside;
  RunReport report{.summary = {}, .folder = out, .profile = {}, .warnings = {}};
  {
    const Stopwatch whole(outside.whole);
    ResultFolder folder(out);
    const Model model = pose_timed(input, outside.mesh);
    std::optional<OptionalPicture> picture;
    if (!model.mesh.bond.empty()) picture.emplace();
    std::unique_ptr<KeptRun> kept;
    if (keep != nullptr && input.solver.mode == Mode::intact) kept = std::make_unique<KeptRun>(input, model);
    SolvedCase solved = solve_into(input, model, folder.working(), quiet, outside, kept.get());
    if (kept && solved.outcome.finished) {
      kept->close(solved);
      *keep = std::move(kept);
    }
    for (std::string& note : notes_on(input, model.mesh)) solved.outcome.warnings.push_back(std::move(note));
    const Stopwatch files(outside.files);
    write_numbers(input, model, solved, folder.working());
    report.warnings = solved.outcome.warnings;
    if (picture)
      if (const auto why = picture->unless_drawn([&] {
            draw_bond(read_result(folder.working()), folder.working() / ResultLayout::bond_picture);
          }))
        report.warnings.push_back(fmt::format("no {} was made: {}", ResultLayout::bond_picture, *why));
    folder.publish();
    outside.statistics = solved.statistics_seconds;
    report.summary = std::move(solved.summary);
    report.profile.counts = solved.outcome.timings;
    report.finished = solved.outcome.finished;
  }
  report.profile = profile_of(report.profile.counts, outside);
  return report;
}

}  // namespace

RunReport run_case(const Case& input, const std::filesystem::path& out, bool quiet) {
  return run_into(input, out, quiet, nullptr);
}

RunReport run_case(const Case& input, const std::filesystem::path& out, bool quiet,
                   std::unique_ptr<KeptRun>& kept) {
  return run_into(input, out, quiet, &kept);
}

}  // namespace setstress
