#include "viz/page/page_bond.hpp"

#include <fmt/core.h>

#include <stdexcept>

#include "viz/surface/surface_lines.hpp"

namespace setstress::viz {
namespace {

/// A quantity of the bond file under the name it has in the page.
struct Quantity {
  const char* in_page;
  const char* in_file;
  const char* unit;
  int components, levels;
};
constexpr std::array<Quantity, 6> quantities{{{"bond.displacement", "displacement", "mm", 3, 4095},
                                              {"bond.ratio", "stress_to_strength_ratio", "-", 1, 16383},
                                              {"bond.normal_traction", "normal_traction", "MPa", 1, 4095},
                                              {"bond.shear_traction", "shear_traction", "MPa", 1, 4095},
                                              {"bond.strength_lost", "strength_lost", "-", 1, 255},
                                              {"bond.gap", "gap", "mm", 1, 4095}}};

constexpr std::size_t triangles_a_facet = 4;

/// The bond file cuts a facet into the triangles 035, 314, 542, 345 of its six nodes.
std::array<int, 3> facet_corners(const BondSurface& bond, std::size_t facet) {
  const std::size_t first = triangles_a_facet * facet;
  return {bond.triangles[first][0], bond.triangles[first + 1][1], bond.triangles[first + 2][2]};
}

/// Points of the file that the page shows, in their order: all, or the corners of facets.
std::vector<std::size_t> points_shown(const BondSurface& bond, bool corners_only) {
  std::vector<char> wanted(bond.points.size(), corners_only ? 0 : 1);
  for (std::size_t f = 0; corners_only && f < bond.triangles.size() / triangles_a_facet; ++f)
    for (const int corner : facet_corners(bond, f)) wanted[static_cast<std::size_t>(corner)] = 1;
  std::vector<std::size_t> shown;
  for (std::size_t p = 0; p < wanted.size(); ++p)
    if (wanted[p]) shown.push_back(p);
  return shown;
}

std::uint8_t small_number(const Eigen::MatrixXd& field, std::size_t row) {
  return static_cast<std::uint8_t>(field(static_cast<Eigen::Index>(row), 0));
}

}  // namespace

void describe_bond(const BondSurface& bond, bool corners_only, PageResult& page) {
  const std::vector<std::size_t> shown = points_shown(bond, corners_only);
  std::vector<int> new_number(bond.points.size(), -1);
  for (const std::size_t point : shown) {
    new_number[point] = static_cast<int>(page.bond_points.size());
    page.bond_points.push_back(bond.points[point]);
  }
  const Eigen::MatrixXd &wall = bond.cell_field("wall"), &increment = bond.cell_field("increment");
  for (std::size_t t = 0; t < bond.triangles.size(); t += corners_only ? triangles_a_facet : 1) {
    std::array<int, 3> triangle =
        corners_only ? facet_corners(bond, t / triangles_a_facet) : bond.triangles[t];
    for (int& point : triangle) point = new_number[static_cast<std::size_t>(point)];
    page.bond_triangles.push_back(triangle);
    page.wall_of_triangle.push_back(small_number(wall, t));
    page.increment_of_triangle.push_back(small_number(increment, t));
  }
  page.walls = bond.walls;
  page.triangles_a_facet = corners_only ? 1 : 4;
  for (const Quantity& quantity : quantities)
    page.series.push_back({.name = quantity.in_page,
                           .unit = quantity.unit,
                           .components = quantity.components,
                           .levels = quantity.levels,
                           .by_frame = {}});
}

std::vector<std::uint8_t> add_bond_values(const BondSurface& bond, bool corners_only, PageResult& page) {
  const std::vector<std::size_t> shown = points_shown(bond, corners_only);
  if (shown.size() != page.bond_points.size())
    throw std::runtime_error(
        fmt::format("the bond at {} s has {} points; the first one of this result has {}: its files are of "
                    "different runs",
                    bond.time, shown.size(), page.bond_points.size()));
  for (Series& series : page.series)
    for (const Quantity& quantity : quantities) {
      if (series.name != quantity.in_page) continue;
      const Eigen::MatrixXd& field = bond.point_field(quantity.in_file);
      std::vector<float>& values = series.by_frame.emplace_back();
      for (const std::size_t point : shown)
        for (int c = 0; c < quantity.components; ++c)
          values.push_back(static_cast<float>(field(static_cast<Eigen::Index>(point), c)));
    }
  const std::vector<Looks> all = looks_of(bond);
  std::vector<std::uint8_t> looks;
  for (std::size_t t = 0; t < all.size(); t += corners_only ? triangles_a_facet : 1)
    looks.push_back(static_cast<std::uint8_t>(all[t]));
  return looks;
}

}  // namespace setstress::viz
