#include "cases/file/read_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/file/read_light.hpp"

namespace setstress {

namespace {

constexpr double same_level = 1e-6;  // [mm]
constexpr Quantity any_position{"mm", -5000, 5000};
constexpr Quantity any_component{"-", -1e6, 1e6};
constexpr Quantity pause{"s", 0, 7 * 86400.0};

/// Appends the exposures of `owner`.light, or of `plan`.light where the increment has none of its own.
void append_exposures(const Section& owner, const Section& plan, Plan& out, double& clock) {
  const bool own = owner.has("light");
  if (!own && !plan.has("light"))
    owner.fail("light",
               "is missing; list its exposures, or give [[plan.light]] for every increment, or light = []");
  for (const Section& light : (own ? owner : plan).sections("light")) {
    Exposure exposure = read_exposure(light);
    exposure.start = clock + light.time("delay", pause, 5.0);
    clock = exposure.start + exposure.duration;
    out.timeline.exposures.push_back(exposure);
  }
}

/// How far the increments read so far fill the cavity.
struct Reached {
  double level;         ///< z up to which it is full [mm]
  bool tilted = false;  ///< above that it is filled up to a tilted plane
};

/// What one entry of [[plan.increment]] adds to the layout.
struct Layers {
  std::vector<CuttingPlane> planes;
  int increments = 1;
  bool full = false;  ///< nothing is left above
};

/// Layers given by thickness need a level to start from.
void require_level(const Section& entry, const std::string& layer, const Reached& reached) {
  if (reached.tilted)
    entry.fail("layer",
               fmt::format("is \"{}\" above a tilted plane, where its thickness would differ from place to "
                           "place; give it as layer = \"plane\" with point and normal, or end with \"rest\"",
                           layer));
}

/// A last layer of less than a quarter of the thickness is seldom meant; oblique layers never leave one.
void note_sliver(const Section& entry, double thickness, double last, int count, Plan& plan) {
  if (last < 0.25 * thickness)
    plan.notes.push_back(
        fmt::format("{}: the last of {} layers is {:.3g} mm thick, the others {:g} mm; it is an increment of "
                    "its own, with its own placing, light and chair time",
                    entry.place("thickness"), count, last, thickness));
}

Layers horizontal(const Section& entry, const FillingExtent& extent, Reached& reached, Plan& plan) {
  require_level(entry, "horizontal", reached);
  const double thickness = entry.number("thickness", {"mm", 0.05, 15});
  const double left = extent.top - reached.level;
  const bool repeat = entry.flag("repeat", false);
  const int count = repeat ? static_cast<int>(std::ceil(left / thickness - same_level)) : 1;
  if (!repeat && thickness > left + same_level)
    entry.fail("thickness",
               fmt::format("is {} [mm]; must be at most {:.4g}, the height left to fill", thickness, left));
  Layers layers;
  layers.increments = count;
  layers.full = repeat || thickness > left - same_level;
  const int cuts = layers.full ? count - 1 : count;
  if (cuts > 0) {
    std::vector<double> thicknesses(static_cast<std::size_t>(cuts), thickness);
    thicknesses.push_back(left - thickness * cuts);
    layers.planes = horizontal_layers(reached.level, extent.top, thicknesses);
    if (layers.full) note_sliver(entry, thickness, thicknesses.back(), count, plan);
  }
  reached.level += thickness * count;
  return layers;
}

Layers oblique(const Section& entry, const FillingExtent& extent, const Reached& reached) {
  require_level(entry, "oblique", reached);
  Layers layers;
  layers.planes = oblique_layers(reached.level, extent.top, entry.number("thickness", {"mm", 0.2, 15}),
                                 entry.number("angle", {"deg", 5, 75}, 30.0), extent.walls);
  layers.increments = static_cast<int>(layers.planes.size()) + 1;
  layers.full = true;
  return layers;
}

/// All below a plane. Layers above one that is horizontal start from it.
Layers below_plane(const Section& entry, const FillingExtent& extent, Reached& reached) {
  const CuttingPlane plane{entry.vector("point", any_position), entry.vector("normal", any_component)};
  if (!(plane.normal.norm() > 0)) entry.fail("normal", "has no direction; must not be [0, 0, 0]");
  const bool is_level = plane.normal.head<2>().isZero(0) && plane.normal.z() > 0;
  if (is_level)
    reached.level = std::clamp(plane.point.z(), reached.level, std::max(reached.level, extent.top));
  else
    reached.tilted = true;
  return {{plane}, 1, false};
}

Layers read_layers(const Section& entry, bool last, const FillingExtent& extent, Reached& reached,
                   Plan& plan) {
  const std::string layer = last ? entry.choice("layer", {"rest", "horizontal", "oblique", "plane"}, "rest")
                                 : entry.choice("layer", {"rest", "horizontal", "oblique", "plane"});
  if (layer != "rest" && !extent.can_be_layered)
    entry.fail("layer", fmt::format("is \"{}\"; this specimen is filled in one increment, \"rest\"", layer));
  if (layer == "horizontal") return horizontal(entry, extent, reached, plan);
  if (layer == "oblique") return oblique(entry, extent, reached);
  if (layer == "plane") return below_plane(entry, extent, reached);
  return {{}, 1, true};
}

/// Instant [s] at which the increment lies in place; `clock` is when the light before it went off.
double placing_instant(const Section& entry, double clock) {
  if (entry.has("placed_at")) {
    for (const char* other : {"wait", "placing_time"})
      if (entry.has(other))
        entry.fail(other, "cannot stand beside placed_at: give either the instant or the wait");
    const double at = entry.time("placed_at", pause);
    if (at < clock)
      entry.fail("placed_at",
                 fmt::format("is {} [s]; must be at least {}, when the light before it went off: "
                             "increments follow each other in time",
                             at, clock));
    return at;
  }
  return clock + entry.time("wait", pause, 0.0) + entry.time("placing_time", {"s", 0, 1800}, 20.0);
}

/// Light for increments that have none of their own, where all have: it is checked all the same, and told.
void check_idle_light(const Section& section, const std::vector<Section>& entries, Plan& plan) {
  const auto has_own = [](const Section& entry) { return entry.has("light"); };
  if (!section.has("light") || !std::all_of(entries.begin(), entries.end(), has_own)) return;
  for (const Section& light : section.sections("light")) {
    (void)read_exposure(light);
    (void)light.time("delay", pause, 5.0);
  }
  plan.notes.push_back(
      fmt::format("{}: plan.light lights nothing: every increment has light, or none, of its own",
                  section.place("light")));
}

void read_increments(const Section& section, const FillingExtent& extent, const std::string& default_material,
                     Plan& plan, double& clock) {
  const std::vector<Section> entries = section.sections("increment");
  if (entries.empty()) section.fail("increment", "is missing; a plan needs at least one [[plan.increment]]");
  Reached reached{extent.floor};
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Section& entry = entries[i];
    const bool last = i + 1 == entries.size();
    const Layers layers = read_layers(entry, last, extent, reached, plan);
    if (layers.full && !last)
      entries[i + 1].fail("layer", "has nothing left to fill: the increment before it fills up");
    if (!layers.full && last)
      entry.fail("layer",
                 fmt::format("leaves a part of the cavity empty ({:.4g} mm high at most); end the plan with "
                             "layer = \"rest\", or add repeat = true",
                             extent.top - reached.level));
    plan.layout.insert(plan.layout.end(), layers.planes.begin(), layers.planes.end());
    plan.layout_entries.resize(
        plan.layout.size(),
        fmt::format("{}: {}:", entry.place("layer"), section.dotted(fmt::format("increment[{}]", i + 1))));
    const std::string material = entry.text("material", default_material);
    for (int k = 0; k < layers.increments; ++k) {
      plan.materials.push_back(material);
      const double instant = placing_instant(entry, clock);
      plan.timeline.placements.push_back({static_cast<int>(plan.materials.size()) - 1, instant});
      clock = instant;
      append_exposures(entry, section, plan, clock);
    }
  }
  plan.chair_time = clock;
  check_idle_light(section, entries, plan);
}

/// Instant [s] at which filling begins: the wait of the plan as a whole, before its first increment.
double first_wait(const Section& section) {
  const std::vector<Section> entries = section.sections("increment");
  if (section.has("wait") && !entries.empty() && entries.front().has("placed_at"))
    section.fail("wait", "cannot stand beside placed_at of the first increment: give either of them");
  return section.time("wait", pause, 0.0);
}

}  // namespace

Plan read_plan(const Section& section, const FillingExtent& extent, const std::string& default_material) {
  Plan plan;
  double clock = 0;
  if (extent.has_filling) {
    clock = first_wait(section);
    read_increments(section, extent, default_material, plan, clock);
  }
  plan.timeline.end = clock + section.time("end", {"s", 0, 30 * 86400.0, true}, 600.0);
  if (section.has("frames")) {
    for (const double instant : section.numbers("frames", {"s", 0, 30 * 86400.0})) {
      if (instant > plan.timeline.end)
        section.fail("frames", fmt::format("holds {} [s]; the run ends at {}", instant, plan.timeline.end));
      plan.timeline.extra_frames.push_back(instant);
    }
    std::sort(plan.timeline.extra_frames.begin(), plan.timeline.extra_frames.end());
  }
  return plan;
}

}  // namespace setstress
