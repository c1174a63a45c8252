#include "solver/run/schedule.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

namespace setstress {
namespace {

constexpr double steps_of_a_stage = 8;  // of a bite, at least

std::set<double> instants_of(const Timeline& timeline) {
  std::set<double> instants{0.0, timeline.end};
  for (const Placement& placement : timeline.placements) instants.insert(placement.time);
  for (const Exposure& exposure : timeline.exposures) {
    instants.insert(exposure.start);
    instants.insert(exposure.start + exposure.duration);
  }
  for (std::size_t b = 0; b < timeline.bites.size(); ++b)
    for (const BiteStage& stage : stages_of(timeline.bites[b], static_cast<int>(b) + 1))
      instants.insert(stage.start);
  for (const double frame : timeline.extra_frames)
    if (frame >= 0.0 && frame <= timeline.end) instants.insert(frame);
  return instants;
}

void append(std::string& label, const std::string& word) {
  label += label.empty() ? word : ", " + word;
}

/// Labels what begins at the event, and bounds its steps so that forces rise and fall in several.
void add_bites(const Timeline& timeline, Event& event) {
  for (std::size_t b = 0; b < timeline.bites.size(); ++b)
    for (const BiteStage& stage : stages_of(timeline.bites[b], static_cast<int>(b) + 1)) {
      if (stage.start == event.time) append(event.label, stage.label);
      if (stage.start <= event.time && event.time < stage.end)
        event.longest_step = (stage.end - stage.start) / steps_of_a_stage;
    }
}

/// How much work one exposure has caused by `time`, 0 to 1: half of the steps fall into the light, half into
/// the dark cure after it.
double exposure_share(const Exposure& exposure, double time) {
  const double lit = std::clamp((time - exposure.start) / exposure.duration, 0.0, 1.0);
  const double dark = std::max(time - exposure.start - exposure.duration, 0.0);
  return 0.5 * lit + 0.5 * (1.0 - std::exp(-dark / 60.0));
}

}  // namespace

std::vector<Event> schedule(const Timeline& timeline) {
  std::vector<Event> events;
  for (const double time : instants_of(timeline)) {
    Event event{.time = time,
                .placements = {},
                .lit = {},
                .longest_step = std::numeric_limits<double>::infinity(),
                .label = {}};
    for (const Placement& placement : timeline.placements)
      if (placement.time == time) {
        event.placements.push_back(placement.increment);
        append(event.label, fmt::format("increment {} placed", placement.increment + 1));
      }
    bool goes_off = false, goes_on = false;
    for (const Exposure& exposure : timeline.exposures) {
      const double off = exposure.start + exposure.duration;
      goes_off = goes_off || off == time;
      goes_on = goes_on || exposure.start == time;
      if (exposure.start <= time && time < off) event.lit.push_back(exposure);
    }
    if (goes_off) append(event.label, "light off");
    if (goes_on) append(event.label, "light on");
    add_bites(timeline, event);
    if (time == timeline.end) append(event.label, "end");
    events.push_back(std::move(event));
  }
  return events;
}

double interval(double from, double to) {
  constexpr double nanoseconds = 1e9;  // in a second
  return std::round((to - from) * nanoseconds) / nanoseconds;
}

double share_of_work(const Timeline& timeline, double time) {
  if (timeline.end <= 0.0) return time >= timeline.end ? 1.0 : 0.0;
  double done = 0.1 * time / timeline.end, all = 0.1;
  for (const Exposure& exposure : timeline.exposures) {
    done += exposure_share(exposure, time);
    all += exposure_share(exposure, timeline.end);
  }
  for (const Bite& bite : timeline.bites) {
    done += 0.2 * bite.cycles * std::clamp((time - bite.start) / (bite.end() - bite.start), 0.0, 1.0);
    all += 0.2 * bite.cycles;
  }
  return done / all;
}

}  // namespace setstress
