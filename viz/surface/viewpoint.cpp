#include "viz/surface/viewpoint.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "viz/surface/surface_topology.hpp"

namespace setstress {
namespace {

using Eigen::Vector3d;

constexpr double distance_per_reach = 2.1;  // near enough that walls on both sides face the eye
constexpr double usual_elevation = 38;      // degrees

struct Patch {
  Vector3d centre, area_vector;  ///< the vector points to the side that is seen from inside
  std::size_t piece;
};

std::vector<Patch> patches_of(const BondSurface& bond, std::vector<double>& piece_area) {
  const viz::Topology topology = viz::find_topology(bond);
  piece_area.assign(static_cast<std::size_t>(topology.pieces), 0.0);
  std::vector<Patch> patches;
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    const auto corner = [&](std::size_t c) {
      return bond.points[static_cast<std::size_t>(bond.triangles[t][c])];
    };
    Patch& patch = patches.emplace_back();
    patch.centre = (corner(0) + corner(1) + corner(2)) / 3;
    patch.area_vector = 0.5 * (corner(1) - corner(0)).cross(corner(2) - corner(0));
    patch.piece = static_cast<std::size_t>(topology.piece[t]);
    piece_area[patch.piece] += patch.area_vector.norm();
  }
  return patches;
}

/// Share of the worst-seen piece that faces the eye, foreshortened.
double worst_seen(const std::vector<Patch>& patches, const std::vector<double>& piece_area,
                  const Vector3d& eye) {
  std::vector<double> seen(piece_area.size(), 0.0);
  for (const Patch& patch : patches)
    seen[patch.piece] += std::max(0.0, patch.area_vector.dot((eye - patch.centre).normalized()));
  double worst = 1;
  for (std::size_t piece = 0; piece < seen.size(); ++piece)
    worst = std::min(worst, seen[piece] / piece_area[piece]);
  return worst;
}

Vector3d direction(double azimuth_degrees, double elevation_degrees) {
  const double azimuth = azimuth_degrees * std::numbers::pi / 180,
               elevation = elevation_degrees * std::numbers::pi / 180;
  return {std::cos(elevation) * std::cos(azimuth), std::cos(elevation) * std::sin(azimuth),
          std::sin(elevation)};
}

}  // namespace

Viewpoint viewpoint_into(const std::vector<const BondSurface*>& bonds) {
  if (bonds.empty()) throw std::invalid_argument("there is no bond to look at");
  Viewpoint viewpoint{.focus = {}, .eye = {}, .reach = 0, .keep_in_view = {}};
  for (const BondSurface* bond : bonds)
    viewpoint.keep_in_view.insert(viewpoint.keep_in_view.end(), bond->points.begin(), bond->points.end());
  Vector3d low = viewpoint.keep_in_view.front(), high = low;
  for (const Vector3d& point : viewpoint.keep_in_view) {
    low = low.cwiseMin(point);
    high = high.cwiseMax(point);
  }
  viewpoint.focus = (low + high) / 2;
  for (const Vector3d& point : viewpoint.keep_in_view)
    viewpoint.reach = std::max(viewpoint.reach, (point - viewpoint.focus).norm());
  std::vector<double> piece_area;
  const std::vector<Patch> patches = patches_of(*bonds.front(), piece_area);
  double best = -10;
  for (double elevation = 20; elevation <= 80; elevation += 6)
    for (double azimuth = -90; azimuth < 270; azimuth += 15) {
      const Vector3d eye =
          viewpoint.focus + distance_per_reach * viewpoint.reach * direction(azimuth, elevation);
      const bool oblique = std::lround(azimuth) % 90 != 0;
      const double unusual = 0.002 * std::abs(elevation - usual_elevation) +
                             0.0003 * std::min(azimuth + 90, 270 - azimuth) + (oblique ? 0.1 : 0);
      const double score = worst_seen(patches, piece_area, eye) - unusual;
      if (score <= best + 1e-9) continue;
      best = score;
      viewpoint.eye = eye;
    }
  return viewpoint;
}

}  // namespace setstress
