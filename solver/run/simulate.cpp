#include "solver/run/simulate.hpp"

#include <fmt/format.h>
#include <omp.h>

#include <algorithm>
#include <memory>

#include "solver/machine/stopwatch.hpp"
#include "solver/run/model_check.hpp"
#include "solver/run/run.hpp"

namespace setstress {
namespace {

/// Sets the number of threads for one run and puts the old number back.
class Threads {
 public:
  explicit Threads(int wanted) : before_(omp_get_max_threads()) {
    if (wanted > 0) omp_set_num_threads(wanted);
  }
  ~Threads() { omp_set_num_threads(before_); }
  Threads(const Threads&) = delete;
  Threads& operator=(const Threads&) = delete;

 private:
  int before_;
};

Progress progress_of(const Model& model, const Run& run) {
  return {.time = run.time(),
          .end = model.timeline.end,
          .fraction = share_of_work(model.timeline, run.time()),
          .step = run.timings().steps};
}

std::string handed_over(const Timings& timings) {
  return fmt::format(
      "the iterative linear solver did not converge in {} of {} solves; the direct one took over, so the "
      "answers are as exact as ever, but the run took longer",
      timings.direct_fallbacks, timings.linear_solves);
}

}  // namespace

Outcome simulate(const Model& model, const SolveOptions& options, const FrameSink& sink) {
  require_valid(model);
  const Threads threads(options.threads);
  double seconds = 0;
  const std::unique_ptr<const SharedMesh> shared = [&] {
    const Stopwatch watch(seconds);
    return std::make_unique<const SharedMesh>(model);
  }();
  Outcome outcome = simulate(model, options, sink, *shared);
  outcome.timings.setup += seconds;
  outcome.timings.total += seconds;
  return outcome;
}

Outcome simulate(const Model& model, const SolveOptions& options, const FrameSink& sink,
                 const SharedMesh& shared) {
  require_valid(model);
  shared.require_fits(model);
  if (options.mode == Mode::debonding) require_can_debond(model);
  const Threads threads(options.threads);
  Outcome outcome;
  {
    const Stopwatch watch(outcome.timings.total);
    Run run(model, options, shared);
    const std::vector<Event> events = schedule(model.timeline);
    for (std::size_t i = 0; i < events.size() && outcome.finished; ++i) {
      while (run.time() < events[i].time && outcome.finished) {
        run.advance(events[i].time);
        outcome.largest_energy_error = std::max(outcome.largest_energy_error, run.energy_error());
        if (run.time() < events[i].time) outcome.finished = sink(run.frame(""), progress_of(model, run));
      }
      if (!outcome.finished) break;
      run.begin(events[i]);
      if (i == 0) run.settle();
      outcome.finished = sink(run.frame(events[i].label), progress_of(model, run)) || i + 1 == events.size();
    }
    outcome.timings = run.timings();
    if (outcome.timings.direct_fallbacks > 0) outcome.warnings.push_back(handed_over(outcome.timings));
  }
  return outcome;
}

}  // namespace setstress
