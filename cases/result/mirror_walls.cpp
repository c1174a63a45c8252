#include "cases/result/mirror_walls.hpp"

#include <algorithm>
#include <cmath>

namespace setstress {

namespace {

constexpr double round_off = 1e-9;

bool is_even(double across) {
  return std::abs(across) < round_off;
}

/// A cylinder has one round wall, not two that mirror each other.
bool has_both_walls(const Geometry& geometry) {
  if (const auto* tooth = std::get_if<ToothCase>(&geometry))
    return tooth->preparation.kind != Preparation::Kind::cylinder && is_even(tooth->preparation.offset_y);
  return std::holds_alternative<FlexingMould>(std::get<Specimen>(geometry));
}

bool layers_mirror(const Plan& plan) {
  return std::ranges::all_of(plan.layout,
                             [](const CuttingPlane& plane) { return is_even(plane.normal.y()); });
}

/// As many lights like each one as like its mirror image.
bool lights_mirror(const std::vector<Exposure>& lights) {
  const auto alike = [&](const Exposure& light) {
    return std::ranges::count_if(lights, [&](const Exposure& other) {
      return other.start == light.start && other.duration == light.duration &&
             other.irradiance == light.irradiance && other.tip == light.tip &&
             (other.direction - light.direction).norm() < round_off;
    });
  };
  return std::ranges::all_of(lights, [&](const Exposure& light) {
    Exposure mirrored = light;
    mirrored.direction.y() *= -1;
    return alike(light) == alike(mirrored);
  });
}

/// Surfaces that lie to one side: "occlusal buccal", "y0".
bool is_one_sided(const std::string& surface) {
  return surface.ends_with("buccal") || surface.ends_with("lingual") || surface.starts_with("y");
}

bool supports_mirror(const Supports& supports) {
  const auto fixed = [](const FixedSurface& s) {
    return !is_one_sided(s.surface) && !is_one_sided(s.meeting) && is_even(s.value.y());
  };
  const auto on_both_sides = [](const auto& s) { return !is_one_sided(s.surface); };
  return std::ranges::all_of(supports.fixed, fixed) &&
         std::ranges::all_of(supports.foundations, on_both_sides) &&
         std::ranges::all_of(supports.pressures, on_both_sides) &&
         std::ranges::all_of(supports.free_strains,
                             [](const FreeStrain& s) { return is_even(s.gradient.y()); });
}

}  // namespace

std::vector<std::array<std::string, 2>> mirror_walls(const Case& input) {
  if (has_both_walls(input.geometry) && layers_mirror(input.plan) &&
      lights_mirror(input.plan.timeline.exposures) && supports_mirror(input.supports))
    return {{"buccal", "lingual"}};
  return {};
}

}  // namespace setstress
