#include "cases/result/mirror_walls.hpp"

#include <algorithm>
#include <cmath>

namespace setstress {

namespace {

constexpr double round_off = 1e-9;

bool is_even(double across) {
  return std::abs(across) < round_off;
}

/// Across the middle of the tooth: y between the buccal and the lingual wall, x between the mesial and the
/// distal one.
struct Mirror {
  Eigen::Index axis;
  std::array<std::string, 2> walls;
};

/// A cylinder has one round wall, not two that mirror each other.
bool has_both_walls(const Geometry& geometry, const Mirror& mirror) {
  using Kind = Preparation::Kind;
  const bool across = mirror.axis == 1;
  if (const auto* tooth = std::get_if<ToothCase>(&geometry)) {
    const Preparation& cavity = tooth->preparation;
    return across ? cavity.kind != Kind::cylinder && is_even(cavity.offset_y)
                  : cavity.kind == Kind::occlusal_box && is_even(cavity.offset_x);
  }
  return across && std::holds_alternative<FlexingMould>(std::get<Specimen>(geometry));
}

bool layers_mirror(const Plan& plan, const Mirror& mirror) {
  return std::ranges::all_of(plan.layout,
                             [&](const CuttingPlane& plane) { return is_even(plane.normal(mirror.axis)); });
}

/// As many lights like each one as like its mirror image.
bool lights_mirror(const std::vector<Exposure>& lights, const Mirror& mirror) {
  const auto alike = [&](const Exposure& light) {
    return std::ranges::count_if(lights, [&](const Exposure& other) {
      return other.start == light.start && other.duration == light.duration &&
             other.irradiance == light.irradiance && other.tip == light.tip &&
             (other.direction - light.direction).norm() < round_off;
    });
  };
  return std::ranges::all_of(lights, [&](const Exposure& light) {
    Exposure mirrored = light;
    mirrored.direction(mirror.axis) *= -1;
    return alike(light) == alike(mirrored);
  });
}

/// Surfaces that lie to one side: "occlusal buccal", "y0".
bool is_one_sided(const std::string& surface, const Mirror& mirror) {
  if (mirror.axis == 0) return surface.starts_with("x");
  return surface.ends_with("buccal") || surface.ends_with("lingual") || surface.starts_with("y");
}

bool supports_mirror(const Supports& supports, const Mirror& mirror) {
  const auto fixed = [&](const FixedSurface& s) {
    return !is_one_sided(s.surface, mirror) && !is_one_sided(s.meeting, mirror) &&
           is_even(s.value(mirror.axis));
  };
  const auto on_both_sides = [&](const auto& s) { return !is_one_sided(s.surface, mirror); };
  return std::ranges::all_of(supports.fixed, fixed) &&
         std::ranges::all_of(supports.foundations, on_both_sides) &&
         std::ranges::all_of(supports.pressures, on_both_sides) &&
         std::ranges::all_of(supports.free_strains,
                             [&](const FreeStrain& s) { return is_even(s.gradient(mirror.axis)); });
}

bool bites_mirror(const std::vector<Bite>& bites, const Mirror& mirror) {
  return std::ranges::all_of(bites, [&](const Bite& bite) {
    return !is_one_sided(bite.surface, mirror) && is_even(bite.direction(mirror.axis)) &&
           (!bite.centre || is_even((*bite.centre)(mirror.axis)));
  });
}

/// A bond given for one wall, even if the same is given for the other, is meant to be looked at by itself.
bool bonds_mirror(const CaseMaterials& materials, const Mirror& mirror) {
  return std::ranges::none_of(mirror.walls,
                              [&](const std::string& wall) { return materials.wall_bonds.contains(wall); });
}

bool holds(const Case& input, const Mirror& mirror) {
  return has_both_walls(input.geometry, mirror) && layers_mirror(input.plan, mirror) &&
         lights_mirror(input.plan.timeline.exposures, mirror) && supports_mirror(input.supports, mirror) &&
         bites_mirror(input.plan.timeline.bites, mirror) && bonds_mirror(input.materials, mirror);
}

}  // namespace

std::vector<std::array<std::string, 2>> mirror_walls(const Case& input) {
  std::vector<std::array<std::string, 2>> pairs;
  for (const Mirror& mirror : {Mirror{1, {"buccal", "lingual"}}, Mirror{0, {"mesial", "distal"}}})
    if (holds(input, mirror)) pairs.push_back(mirror.walls);
  return pairs;
}

}  // namespace setstress
