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
    out.chair_time = clock;
  }
}

/// What one entry of [[plan.increment]] adds to the layout. `level` is how high horizontal layers have
/// reached.
struct Layers {
  std::vector<CuttingPlane> planes;
  int increments = 1;
  bool full = false;  ///< nothing is left above
};

Layers horizontal(const Section& entry, const FillingExtent& extent, double& level) {
  const double thickness = entry.number("thickness", {"mm", 0.05, 15});
  const double left = extent.top - level;
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
    layers.planes = horizontal_layers(level, extent.top, thicknesses);
  }
  level += thickness * count;
  return layers;
}

Layers oblique(const Section& entry, const FillingExtent& extent, double level) {
  Layers layers;
  layers.planes = oblique_layers(level, extent.top, entry.number("thickness", {"mm", 0.2, 15}),
                                 entry.number("angle", {"deg", 5, 75}, 30.0), extent.half_width);
  layers.increments = static_cast<int>(layers.planes.size()) + 1;
  layers.full = true;
  return layers;
}

Layers read_layers(const Section& entry, bool last, const FillingExtent& extent, double& level) {
  const std::string layer = last ? entry.choice("layer", {"rest", "horizontal", "oblique", "plane"}, "rest")
                                 : entry.choice("layer", {"rest", "horizontal", "oblique", "plane"});
  if (layer != "rest" && !extent.can_be_layered)
    entry.fail("layer", fmt::format("is \"{}\"; this specimen is filled in one increment, \"rest\"", layer));
  if (layer == "horizontal") return horizontal(entry, extent, level);
  if (layer == "oblique") return oblique(entry, extent, level);
  if (layer == "plane")
    return {
        {CuttingPlane{entry.vector("point", any_position), entry.vector("normal", any_component)}}, 1, false};
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

void read_increments(const Section& section, const FillingExtent& extent, const std::string& default_material,
                     Plan& plan, double& clock) {
  const std::vector<Section> entries = section.sections("increment");
  if (entries.empty()) section.fail("increment", "is missing; a plan needs at least one [[plan.increment]]");
  double level = extent.floor;
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Section& entry = entries[i];
    const bool last = i + 1 == entries.size();
    const Layers layers = read_layers(entry, last, extent, level);
    if (layers.full && !last)
      entries[i + 1].fail("layer", "has nothing left to fill: the increment before it fills up");
    if (!layers.full && last)
      entry.fail("layer",
                 fmt::format("leaves a part of the cavity empty ({:.4g} mm high at most); end the plan with "
                             "layer = \"rest\", or add repeat = true",
                             extent.top - level));
    plan.layout.insert(plan.layout.end(), layers.planes.begin(), layers.planes.end());
    const std::string material = entry.text("material", default_material);
    for (int k = 0; k < layers.increments; ++k) {
      plan.materials.push_back(material);
      const double instant = placing_instant(entry, clock);
      plan.timeline.placements.push_back({static_cast<int>(plan.materials.size()) - 1, instant});
      clock = instant;
      append_exposures(entry, section, plan, clock);
    }
  }
}

}  // namespace

Plan read_plan(const Section& section, const FillingExtent& extent, const std::string& default_material) {
  Plan plan;
  double clock = 0;
  if (extent.has_filling) read_increments(section, extent, default_material, plan, clock);
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
