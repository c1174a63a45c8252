#include "solver/model/bite.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace setstress {

double Bite::share_at(double time) const {
  if (time <= start || time >= end()) return 0.0;
  const double past = time - start;
  const double into = past - cycle() * std::floor(past / cycle());
  if (into < ramp) return into / ramp;
  return std::clamp((ramp + hold + unload - into) / unload, 0.0, 1.0);
}

std::vector<BiteStage> stages_of(const Bite& bite, int number) {
  std::vector<BiteStage> stages;
  const auto add = [&](double start, double lasting, const char* word, int cycle) {
    const std::string which = bite.cycles > 1 ? fmt::format(", {} of {}", cycle + 1, bite.cycles) : "";
    if (lasting > 0)
      stages.push_back({start, start + lasting, fmt::format("bite {} {}{}", number, word, which)});
  };
  for (int c = 0; c < bite.cycles; ++c) {
    const double start = bite.start + c * bite.cycle();
    add(start, bite.ramp, "on", c);
    add(start + bite.ramp, bite.hold, "full", c);
    add(start + bite.ramp + bite.hold, bite.unload, "goes off", c);
    if (c + 1 < bite.cycles) add(start + bite.ramp + bite.hold + bite.unload, bite.pause, "off", c);
  }
  for (std::size_t i = 0; i + 1 < stages.size(); ++i) stages[i].end = stages[i + 1].start;
  stages.back().end = bite.end();
  stages.push_back({bite.end(), bite.end(), fmt::format("bite {} off", number)});
  return stages;
}

}  // namespace setstress
