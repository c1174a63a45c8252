#include "cases/desk/drafts.hpp"

#include <Eigen/Geometry>
#include <cmath>
#include <map>

#include "cases/check/case_check.hpp"
#include "cases/file/meshing_fault.hpp"
#include "cases/pose/pose.hpp"
#include "mesh/build/build_mesh.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr double draft_bond_size = 1.5;  // [mm]: areas within 1 %, in seconds

using Triangle = PreparedSurface::Triangle;

/// The pieces of a triangle on either side of a level z. Points are added where edges are cut.
void split(const Triangle& whole, double z, std::vector<Eigen::Vector3d>& points,
           std::vector<Triangle>& pieces) {
  const auto height = [&](int p) { return points[static_cast<std::size_t>(p)].z() - z; };
  constexpr double touches = 1e-7;  // [mm]
  std::vector<int> below, above;
  for (std::size_t i = 0; i < 3; ++i) {
    const int a = whole.corners[i], b = whole.corners[(i + 1) % 3];
    if (height(a) < touches) below.push_back(a);
    if (height(a) > -touches) above.push_back(a);
    if (std::min(height(a), height(b)) >= -touches || std::max(height(a), height(b)) <= touches) continue;
    const double share = height(a) / (height(a) - height(b));
    const Eigen::Vector3d from = points[static_cast<std::size_t>(a)],
                          to = points[static_cast<std::size_t>(b)];
    below.push_back(static_cast<int>(points.size()));
    above.push_back(static_cast<int>(points.size()));
    points.emplace_back(from + share * (to - from));
  }
  const auto fan = [&](const std::vector<int>& polygon) {
    for (std::size_t i = 2; i < polygon.size(); ++i)
      pieces.push_back({{polygon[0], polygon[i - 1], polygon[i]}, whole.tissue, whole.wall});
  };
  const bool is_cut = below.size() > 2 && above.size() > 2;
  if (is_cut) {
    fan(below);
    fan(above);
  } else {
    pieces.push_back(whole);
  }
}

/// Walls cut where one band of dentin gives way to the next.
void split_at_bands(PreparedSurface& surface, const DentinBands& bands) {
  for (const double z : {bands.coronal_from, bands.middle_from, bands.cervical_from}) {
    std::vector<Triangle> pieces;
    for (const Triangle& triangle : surface.triangles)
      if (triangle.wall < 0)
        pieces.push_back(triangle);
      else
        split(triangle, z, surface.points, pieces);
    surface.triangles = std::move(pieces);
  }
}

double area_of(const PreparedSurface& surface, const Triangle& triangle) {
  const auto at = [&](std::size_t i) {
    return surface.points[static_cast<std::size_t>(triangle.corners[i])];
  };
  return 0.5 * (at(1) - at(0)).cross(at(2) - at(0)).norm();
}

std::string substrate_of(const PreparedSurface& surface, const Triangle& triangle, const DentinBands& bands) {
  const std::string& tissue = surface.tissues[static_cast<std::size_t>(triangle.tissue)];
  if (tissue != "dentin") return tissue;
  double level = 0;
  for (const int corner : triangle.corners) level += surface.points[static_cast<std::size_t>(corner)].z() / 3;
  return name_of(bands.at(level));
}

ordered_json rounded_points(const PreparedSurface& surface) {
  ordered_json points = ordered_json::array();
  for (const Eigen::Vector3d& point : surface.points)
    for (const double x : point) points.push_back(std::round(1e4 * x) / 1e4);
  return points;
}

ordered_json wall_name_of(const PreparedSurface& surface, int wall) {
  if (wall < 0) return nullptr;
  return surface.walls[static_cast<std::size_t>(wall)];
}

/// Triangles by wall and by what is behind them.
ordered_json parts_of(const PreparedSurface& surface, const DentinBands& bands) {
  std::map<std::pair<int, std::string>, ordered_json> triangles;
  for (const Triangle& triangle : surface.triangles) {
    const std::string made_of = triangle.wall < 0 ? surface.tissues[static_cast<std::size_t>(triangle.tissue)]
                                                  : substrate_of(surface, triangle, bands);
    ordered_json& corners = triangles[{triangle.wall, made_of}];
    for (const int corner : triangle.corners) corners.push_back(corner);
  }
  ordered_json parts = ordered_json::array();
  for (auto& [of, corners] : triangles)
    parts.push_back(
        {{"wall", wall_name_of(surface, of.first)}, {"made_of", of.second}, {"triangles", corners}});
  return parts;
}

ordered_json areas_of(const PreparedSurface& surface, const DentinBands& bands) {
  std::map<int, std::map<std::string, double>> areas;
  for (const Triangle& triangle : surface.triangles)
    if (triangle.wall >= 0)
      areas[triangle.wall][substrate_of(surface, triangle, bands)] += area_of(surface, triangle);
  double bonded = 0;
  ordered_json walls = ordered_json::array();
  for (const auto& [wall, by_substrate] : areas) {
    double total = 0;
    for (const auto& [substrate, area] : by_substrate) total += area;
    bonded += total;
    walls.push_back({{"wall", wall_name_of(surface, wall)},
                     {"area_mm2", total},
                     {"area_by_substrate_mm2", by_substrate}});
  }
  return {{"walls", walls}, {"bonded_mm2", bonded}, {"free_mm2", surface.free_area}};
}

}  // namespace

void prepare_drafts() {
  try {
    load_mesher();
  } catch (const std::exception&) {  // the first draft fails alike, and says so
  }
}

ordered_json drafted_solid(const Case& input) {
  const auto* tooth = std::get_if<ToothCase>(&input.geometry);
  if (tooth == nullptr) return {{"points", ordered_json::array()}, {"parts", ordered_json::array()}};
  PreparedSurface surface;
  blaming_case(input, [&] { surface = prepared_surface(*tooth); });
  split_at_bands(surface, input.bands);
  ordered_json solid{{"points", rounded_points(surface)}, {"parts", parts_of(surface, input.bands)}};
  solid.update(areas_of(surface, input.bands));
  return solid;
}

ordered_json drafted_check(Case input) {
  input.mesh_size = fineness(draft_bond_size);
  return check_report(input, pose(input));
}

}  // namespace setstress
