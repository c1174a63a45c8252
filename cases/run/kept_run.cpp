#include "cases/run/kept_run.hpp"

#include "cases/result/summary.hpp"
#include "solver/machine/stopwatch.hpp"

namespace setstress {

KeptRun::KeptRun(const Case& input, const Model& model)
    : bond_(model, input.solver), report_(model.mesh, model.substrates) {}

KeptRun::KeptRun(const Case& input, const Model& model, const SharedMesh& shared, const StepWatch& watch)
    : KeptRun(input, model) {
  const Stopwatch stopwatch(seconds_);
  first_ = solve_case(
      input, model,
      [&](const Frame& frame, const HistoryEntry& entry, const Progress& at) {
        bond_.add(frame);
        return watch(frame, entry, at);
      },
      shared);
}

SolvedCase KeptRun::judged(const Case& input, const Model& model) const {
  SolvedCase judged{.history = {}, .outcome = first_.outcome, .summary = {}};
  std::optional<WeakestLinks> links = weakest_links(input, model);
  bond_.for_each(model, [&](const Frame& frame, std::size_t kept) {
    HistoryEntry entry = first_.history.at(kept);
    entry.time = frame.time;
    entry.rows = report_.judged(frame, std::move(entry.rows), links ? &*links : nullptr);
    judged.history.push_back(std::move(entry));
  });
  judged.summary =
      summarise(input, model, judged.history, judged.outcome.largest_energy_error, judged.outcome.finished);
  return judged;
}

}  // namespace setstress
