#include "solver/simulate.hpp"

#include <fmt/format.h>
#include <omp.h>

#include <algorithm>
#include <stdexcept>

#include "solver/run.hpp"
#include "solver/stopwatch.hpp"

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

void require_mode(const Model& model, const SolveOptions& options) {
  const bool tied = std::any_of(model.mesh.bond.begin(), model.mesh.bond.end(),
                                [](const BondFacet& facet) { return facet.tooth == facet.filling; });
  if (tied && options.mode == Mode::debonding)
    throw std::invalid_argument("a tied bond cannot let go; choose mode intact, or give the bond a film");
}

Progress progress_of(const Model& model, const Run& run) {
  return {.time = run.time(),
          .end = model.timeline.end,
          .fraction = share_of_work(model.timeline, run.time()),
          .step = run.timings().steps};
}

}  // namespace

Outcome simulate(const Model& model, const SolveOptions& options, const FrameSink& sink) {
  require_valid(model);
  require_mode(model, options);
  const Threads threads(options.threads);
  Outcome outcome;
  {
    const Stopwatch watch(outcome.timings.total);
    Run run(model, options);
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
  }
  return outcome;
}

}  // namespace setstress
