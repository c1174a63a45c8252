#include "cases/run/run_in_numbers.hpp"

#include "cases/fluid/gap_fluid.hpp"
#include "cases/result/bites.hpp"
#include "cases/result/finite_check.hpp"
#include "cases/result/gap_report.hpp"
#include "cases/result/summary.hpp"
#include "solver/machine/stopwatch.hpp"

namespace setstress {

/// Stays where it is: they point to each other.
struct RunInNumbers::Observers {
  Observers(const Case& input, const Model& model, const LightPaths& light)
      : report(model.mesh, model.substrates),
        cure(model.mesh, model.timeline, light),
        cusps(model.mesh),
        instruments(input, model),
        links(weakest_links(input, model)),
        bites(model) {
    if (input.solver.mode == Mode::debonding && !model.mesh.bond.empty())
      gaps.emplace(model, input.gap_threshold);
  }

  WallReport report;
  CureReport cure;
  CuspReport cusps;
  Instruments instruments;
  std::optional<WeakestLinks> links;
  BiteReport bites;
  std::optional<GapReport> gaps;
};

RunInNumbers::RunInNumbers(const Case& input, const Model& model, const LightPaths& light, StepWatch watch)
    : input_(input),
      model_(model),
      watch_(std::move(watch)),
      observers_(std::make_unique<Observers>(input, model, light)) {}

RunInNumbers::~RunInNumbers() = default;

bool RunInNumbers::see(const Frame& frame, const Progress& at) {
  Observers& o = *observers_;
  {
    const Stopwatch statistics(solved_.statistics_seconds);
    solved_.history.push_back(history_entry(
        model_, {o.report, o.cure, o.cusps, o.instruments, o.links ? &*o.links : nullptr}, frame));
    solved_.history.back().bite = o.bites.of(frame);
    require_finite(solved_.history.back(), frame);
    if (o.gaps) {
      o.gaps->add(frame);
      solved_.history.back().gap_of_facet = o.gaps->gap_of_facet();
    }
  }
  const bool go_on = watch_(frame, solved_.history.back(), at);
  solved_.history.back().gap_of_facet = {};
  return go_on;
}

SolvedCase RunInNumbers::ended(Outcome outcome) {
  const std::optional<GapReport>& gaps = observers_->gaps;
  solved_.outcome = std::move(outcome);
  require_finite_energies(solved_.history, solved_.outcome.largest_energy_error);
  solved_.summary = summarise(input_, model_, solved_.history, solved_.outcome.largest_energy_error,
                              solved_.outcome.finished);
  if (gaps) {
    solved_.summary["gaps"] = gaps->json();
    solved_.gaps_table = gaps->table();
    if (model_.gap_fluid) {
      solved_.summary["gap_fluid"] = fluid_json(model_, gaps->instants());
      solved_.fluid_table = fluid_table(gaps->instants());
    }
  }
  return std::move(solved_);
}

}  // namespace setstress
