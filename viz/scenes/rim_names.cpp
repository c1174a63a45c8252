#include "viz/scenes/rim_names.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <map>
#include <utility>

#include "viz/surface/surface_topology.hpp"

namespace setstress::viz {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

Vector3d corner(const BondSurface& bond, std::size_t triangle, std::size_t c) {
  return bond.points[static_cast<std::size_t>(bond.triangles[triangle][c % 3])];
}

bool in_tooth(const BondSurface& bond) {
  return std::ranges::any_of(bond.substrates, [](const std::string& name) {
    return name == "enamel" || name.find("dentin") != std::string::npos;
  });
}

/// Whether the cavity can be looked into from above, not from a side alone.
bool opens_upwards(const BondSurface& bond) {
  Vector3d facing = Vector3d::Zero();
  for (std::size_t t = 0; t < bond.triangles.size(); ++t)
    facing += (corner(bond, t, 1) - corner(bond, t, 0)).cross(corner(bond, t, 2) - corner(bond, t, 0));
  return facing.z() > 0.2 * facing.norm();
}

struct Rim {
  double length = 0;
  Vector2d middle = Vector2d::Zero();  ///< times length
};

}  // namespace

std::vector<RimName> rim_names(const BondSurface& bond, const OpenedBox& opened) {
  if (!in_tooth(bond)) return {};
  constexpr double level = 0.05;  // [mm]
  double top = -1e9;
  for (const Vector3d& point : bond.points) top = std::max(top, point.z());
  const bool upwards = opens_upwards(bond);
  std::map<std::pair<int, bool>, Rim> rims;
  for (const auto& [edge, sides] : find_topology(bond).edges) {
    if (sides.size() != 1) continue;
    const auto& [t, side] = sides.front();
    const bool occlusal =
        upwards && std::min(corner(bond, t, side).z(), corner(bond, t, side + 1).z()) > top - level;
    const Vector2d &from = opened.corners[t][side], &to = opened.corners[t][(side + 1) % 3];
    Rim& rim = rims[{opened.piece_of[t], occlusal}];
    rim.length += (to - from).norm();
    rim.middle += (to - from).norm() * (from + to) / 2;
  }
  std::vector<RimName> names;
  for (const auto& [key, rim] : rims) {
    const OpenedPiece& piece = opened.pieces[static_cast<std::size_t>(key.first)];
    const Vector2d at = rim.middle / rim.length, away = at - piece.centre;
    if (!piece.named || rim.length < 0.5 || away.norm() < 1e-6) continue;
    names.push_back({key.second ? "occlusal rim" : "open side", at, away.normalized(), key.first});
  }
  return names;
}

}  // namespace setstress::viz
