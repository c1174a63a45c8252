#pragma once
// The bond of one run in which it holds, kept for all the runs that differ only in what does not act on
// displacements: how strong the bond is, how its strength matures, and when the first increment is placed, as
// long as nothing but strength changes before that.

#include <functional>
#include <vector>

#include "solver/model/frame.hpp"
#include "solver/run/schedule.hpp"
#include "solver/run/simulate.hpp"

namespace setstress {

/// All that displacements of an intact run depend on: two runs with equal inputs go through the same states,
/// to the last bit, after equal times since each event.
struct IntactInputs {
  /// Throws std::invalid_argument unless the mode is intact.
  IntactInputs(const Model& model, const SolveOptions& options);
  bool operator==(const IntactInputs&) const = default;

  /// What happens at an event.
  struct Change {
    double after;  ///< the event before [s]; 0 where waiting changes nothing
    std::vector<int> placements;
    std::vector<Exposure> lamps;  ///< that are on, without their times
    std::string label;
    bool operator==(const Change&) const = default;
  };
  std::vector<Change> changes;
  Model model;           ///< without strengths and timeline
  SolveOptions options;  ///< those that an intact run uses
};

class KeptBond {
 public:
  /// Of a run of `model` that is about to be made. Throws as IntactInputs.
  KeptBond(const Model& model, const SolveOptions& options) : inputs_(model, options) {}

  /// The next frame of that run.
  void add(const Frame& frame);

  /// Whether the bond of a run of `model` can be told from this one.
  [[nodiscard]] bool serves(const Model& model, const SolveOptions& options) const {
    return options.mode == Mode::intact && inputs_ == IntactInputs(model, options);
  }

  /// Every frame of a run of `model`, which this serves, and the number of the frame here that it came from:
  /// with time, event, `placed` and bond as the run itself would give them, to the last bit, and nothing
  /// else. Steps before the first increment are left out.
  void for_each(const Model& model,
                const std::function<void(const Frame& frame, std::size_t kept)>& see) const;

 private:
  struct Instant {
    std::size_t event;   ///< the last one, from 0
    double since_event;  ///< [s]
    std::string label;
    std::vector<char> placed;
    std::vector<std::array<BondPoint, 6>> bond;
  };
  IntactInputs inputs_;
  std::vector<Instant> instants_;
};

}  // namespace setstress
