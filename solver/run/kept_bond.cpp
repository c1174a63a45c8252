#include "solver/run/kept_bond.hpp"

#include <algorithm>
#include <stdexcept>

#include "solver/bond/bond_layer.hpp"

namespace setstress {

namespace {

/// Nothing acts on the body before it is filled, and the film does not stiffen: only strength knows how long
/// the first increment is waited for.
bool may_wait(const Model& model) {
  const bool unmoved = std::all_of(model.fixed.begin(), model.fixed.end(),
                                   [](const FixedSurface& hold) { return hold.value.isZero(0); });
  const auto& laws = model.adhesive.stiffness_maturity;
  const bool constant = std::all_of(laws.begin(), laws.end(), [](const auto& law) {
    return law.second.points().front().maturity == law.second.points().back().maturity;
  });
  return unmoved && constant && model.pressures.empty() && model.free_strains.empty();
}

std::vector<IntactInputs::Change> changes_of(const Model& model) {
  std::vector<IntactInputs::Change> changes;
  double before = 0;
  for (const Event& event : schedule(model.timeline)) {
    IntactInputs::Change change{interval(before, event.time), event.placements, {}, event.label};
    for (const Exposure& exposure : event.lit) {
      change.lamps.push_back(exposure);
      change.lamps.back().start = change.lamps.back().duration = 0;
    }
    changes.push_back(std::move(change));
    before = event.time;
  }
  const bool starts_with_a_wait =
      changes.size() > 1 && changes[0].placements.empty() && !changes[1].placements.empty();
  if (starts_with_a_wait && may_wait(model)) changes[1].after = 0;
  return changes;
}

Model without_strength(const Model& model) {
  Model same = model;
  std::erase_if(same.wall_bonds, [&](const auto& own) {  // stronger or weaker only
    return own.second.normal_stiffness == model.adhesive.normal_stiffness() &&
           own.second.shear_stiffness == model.adhesive.shear_stiffness();
  });
  for (auto& [wall, bond] : same.wall_bonds) bond.strength.clear();
  same.adhesive.name.clear();
  for (auto& [substrate, strength] : same.adhesive.strength) strength = {};
  same.adhesive.strength_maturity.clear();
  same.strength_factors.clear();
  same.timeline = {
      .placements = {}, .exposures = {}, .bites = model.timeline.bites, .end = 0, .extra_frames = {}};
  return same;
}

SolveOptions used_by_intact(SolveOptions options) {
  if (options.mode != Mode::intact)
    throw std::invalid_argument("a bond can only be kept of a run in which it holds");
  const SolveOptions usual;
  options.threads = usual.threads;  // they change no bit
  options.viscous_time = usual.viscous_time;
  options.largest_softening_step = usual.largest_softening_step;
  return options;
}

}  // namespace

IntactInputs::IntactInputs(const Model& model_, const SolveOptions& options_)
    : changes(changes_of(model_)), model(without_strength(model_)), options(used_by_intact(options_)) {}

void KeptBond::add(const Frame& frame) {
  const std::size_t event = instants_.empty() ? 0 : instants_.back().event + (frame.since_event == 0 ? 1 : 0);
  instants_.push_back({event, frame.since_event, frame.event, frame.placed, frame.bond});
}

void KeptBond::for_each(const Model& model,
                        const std::function<void(const Frame& frame, std::size_t kept)>& see) const {
  const std::vector<Event> events = schedule(model.timeline);
  const bool waits = inputs_.changes.size() > 1 && inputs_.changes[1].after == 0;
  Frame frame;
  for (std::size_t i = 0; i < instants_.size(); ++i) {
    const Instant& instant = instants_[i];
    if (waits && instant.event == 0 && instant.since_event > 0) continue;
    frame.time = events.at(instant.event).time + instant.since_event;
    frame.since_event = instant.since_event;
    frame.event = instant.label;
    frame.placed = instant.placed;
    frame.bond = instant.bond;
    judge(model, frame.time, frame.bond);
    see(frame, i);
  }
}

}  // namespace setstress
