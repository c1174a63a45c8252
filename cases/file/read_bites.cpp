#include "cases/file/read_bites.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace setstress {

namespace {

constexpr Quantity part_of_a_bite{"s", 0, 3600, true};
constexpr Quantity pause_of_a_bite{"s", 0, 30 * 86400.0};

/// 2 mm2 of the 1 to 6 mm2 in which a first molar meets (from memory).
double read_radius(const Section& entry) {
  if (entry.has("radius") && entry.has("area"))
    entry.fail("area", "cannot stand beside radius: give either of them");
  if (entry.has("radius")) return entry.number("radius", {"mm", 0, 10, true});
  return std::sqrt(entry.number("area", {"mm2", 0, 300, true}, 2.0) / std::numbers::pi);
}

Eigen::Vector3d read_direction(const Section& entry) {
  if (!entry.has("direction")) return {0, 0, -1};
  const Eigen::Vector3d direction = entry.vector("direction", {"-", -1e6, 1e6});
  if (!(direction.norm() > 0)) entry.fail("direction", "has no direction; must not be [0, 0, 0]");
  return direction.normalized();
}

std::optional<Eigen::Vector2d> read_centre(const Section& entry) {
  if (!entry.has("centre")) return std::nullopt;
  const std::vector<double> centre = entry.numbers("centre", {"mm", -500, 500});
  if (centre.size() != 2)
    entry.fail("centre",
               fmt::format("holds {} numbers; must be [x, y] as seen from occlusal [mm]", centre.size()));
  return Eigen::Vector2d(centre[0], centre[1]);
}

/// Chewing: 50 to 150 N at the end of a stroke, a cycle of 0.7 s of which teeth touch for 0.1 s
/// (what-when-how.com, Dental Biotribology). How the cycle is shared out is an assumption.
Bite read_bite(const Section& entry, double clock) {
  Bite bite{.surface = entry.text("surface", "filling surface"),
            .centre = read_centre(entry),
            .radius = read_radius(entry),
            .force = entry.number("force", {"N", 0, 2000, true}, 100.0),
            .direction = read_direction(entry),
            .start = clock + entry.time("wait", pause_of_a_bite, 1.0),
            .ramp = entry.time("ramp", part_of_a_bite, 0.1),
            .hold = entry.time("hold", pause_of_a_bite, 0.1),
            .unload = entry.time("unload", part_of_a_bite, 0.1)};
  bite.pause = entry.time("pause", pause_of_a_bite, 0.4);
  bite.cycles = entry.whole_number("cycles", 1, 50, 1);
  return bite;
}

void note_pause(const Section& entry, const Bite& bite, Plan& plan) {
  if (bite.cycles > 1 || !entry.has("pause")) return;
  plan.notes.push_back(fmt::format(
      "{}: pause changes no result: it is the rest between cycles, and this bite comes once (cycles = 1)",
      entry.place("pause")));
}

void note_crushing(const Section& entry, const Bite& bite, Plan& plan) {
  const double pressure = bite.force / (std::numbers::pi * bite.radius * bite.radius);
  if (pressure > crushing_pressure)
    plan.notes.push_back(fmt::format(
        "{}: the bite presses with {:.0f} MPa on its patch, more than {:.0f} MPa, about what dentin "
        "and composite bear in compression (from memory): they would be crushed, and the run, in which "
        "nothing is, does not hold beside it",
        entry.place("force"), pressure, crushing_pressure));
}

}  // namespace

void read_bites(const Section& root, Plan& plan) {
  for (const Section& entry : root.sections("bite")) {
    Bite bite = read_bite(entry, plan.timeline.end);
    note_crushing(entry, bite, plan);
    note_pause(entry, bite, plan);
    plan.timeline.end = bite.end();
    plan.timeline.bites.push_back(std::move(bite));
  }
}

}  // namespace setstress
