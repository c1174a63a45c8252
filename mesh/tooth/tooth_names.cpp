#include <cmath>
#include <numbers>

#include "mesh/tooth/tooth.hpp"

namespace setstress {
namespace {

const WallProfile& profile_of(const CavityForm& form) {
  return form.box ? form.box->profile : form.cylinder->profile;
}

std::string floor_name(const CavityForm& form, double z) {
  if (!form.step) return "floor";
  const double between = 0.5 * (form.box->profile.floor + form.step->profile.floor);
  return z > between ? "pulpal floor" : "floor";
}

/// Wall in the direction of +x (`towards_distal`) or -x from the middle of the cavity.
std::string x_wall_name(const CavityForm& form, bool towards_distal, double x) {
  if (!form.open_mesial && !form.open_distal) return towards_distal ? "distal" : "mesial";
  if (!form.step) return "axial";
  const bool nearer_to_end = std::abs(x - form.step_end_x) < std::abs(x - form.step_axial_x);
  return nearer_to_end ? (towards_distal ? "distal" : "mesial") : "axial";
}

}  // namespace

std::string wall_name(const CavityForm& form, const Eigen::Vector3d& centroid,
                      const Eigen::Vector3d& normal) {
  const WallProfile& walls = profile_of(form);
  const bool is_steep_as_bevel = normal.z() > 0.5 * (std::sin(walls.taper) + std::sqrt(0.5));
  if (walls.bevel > 0 && centroid.z() > walls.top - walls.bevel && is_steep_as_bevel) return "bevel";

  // The rounding belongs half to the floor and half to the wall; the solid has an edge there.
  const double to_wall = 0.5 * std::numbers::pi - walls.taper;
  if (normal.z() > std::cos(0.5 * to_wall)) return floor_name(form, centroid.z());

  std::string nearest;
  double agreement = 0;
  const auto consider = [&](double outward_x, double outward_y, const std::string& name) {
    const double match = -(outward_x * normal.x() + outward_y * normal.y());
    if (match <= agreement) return;
    agreement = match;
    nearest = name;
  };
  consider(0, 1, "buccal");
  consider(0, -1, "lingual");
  if (!form.open_distal) consider(1, 0, x_wall_name(form, true, centroid.x()));
  if (!form.open_mesial) consider(-1, 0, x_wall_name(form, false, centroid.x()));
  return nearest;
}

std::string tooth_surface_name(const Tooth& tooth, const CavityForm& form, const Eigen::Vector3d& centroid,
                               const Eigen::Vector3d& normal, const Region& region) {
  if (region.is_filling()) return "filling surface";
  constexpr double tolerance = 1e-6;  // mm; end faces are flat
  if (normal.z() < -0.5 && centroid.z() < -tooth.root_depth + tolerance) return "base";
  if (normal.z() > 0.5 && centroid.z() > tooth.crown_height - tolerance)
    return centroid.y() > form.centre_y ? "occlusal buccal" : "occlusal lingual";
  return centroid.z() < 0 ? "root surface" : "crown surface";
}

}  // namespace setstress
