#include "viz/surface/surface_lines.hpp"

#include <algorithm>
#include <cmath>

#include "viz/surface/surface_topology.hpp"

namespace setstress {
namespace {

SurfaceLine along_side(const viz::TriangleSide& at) {
  SurfaceLine line{.triangle = at.triangle, .ends = {Eigen::Vector3d::Zero(), Eigen::Vector3d::Zero()}};
  line.ends[0](static_cast<Eigen::Index>(at.side)) = 1;
  line.ends[1](static_cast<Eigen::Index>((at.side + 1) % 3)) = 1;
  return line;
}

/// Appends the part of triangle `t` where the straight-line function with these corner values is `level`.
void add_level_line(std::size_t t, const Eigen::Vector3d& corner_values, double level,
                    std::vector<SurfaceLine>& lines) {
  std::vector<Eigen::Vector3d> crossings;
  for (Eigen::Index a = 0; a < 3; ++a) {
    const Eigen::Index b = (a + 1) % 3;
    const double from = corner_values(a) - level, to = corner_values(b) - level;
    if ((from < 0) == (to < 0)) continue;
    Eigen::Vector3d& crossing = crossings.emplace_back(Eigen::Vector3d::Zero());
    crossing(b) = from / (from - to);
    crossing(a) = 1 - crossing(b);
  }
  if (crossings.size() == 2) lines.push_back({.triangle = t, .ends = {crossings[0], crossings[1]}});
}

}  // namespace

std::vector<SurfaceLine> wall_outlines(const BondSurface& bond) {
  const viz::Topology topology = viz::find_topology(bond);
  std::vector<SurfaceLine> lines;
  for (const auto& [edge, sides] : topology.edges)
    for (const viz::TriangleSide& side : sides) {
      const auto in_piece = [&](const viz::TriangleSide& other) {
        return topology.piece[other.triangle] == topology.piece[side.triangle];
      };
      if (std::ranges::count_if(sides, in_piece) == 1) lines.push_back(along_side(side));
    }
  return lines;
}

std::vector<SurfaceLine> increment_joints(const BondSurface& bond) {
  const viz::Topology topology = viz::find_topology(bond);
  const Eigen::MatrixXd& increment = bond.cell_field("increment");
  std::vector<SurfaceLine> lines;
  for (const auto& [edge, sides] : topology.edges) {
    if (sides.size() != 2 || topology.piece[sides[0].triangle] != topology.piece[sides[1].triangle]) continue;
    if (increment(static_cast<Eigen::Index>(sides[0].triangle), 0) !=
        increment(static_cast<Eigen::Index>(sides[1].triangle), 0))
      lines.push_back(along_side(sides[0]));
  }
  return lines;
}

std::vector<SurfaceLine> debonding_front(const BondSurface& bond) {
  const viz::Topology topology = viz::find_topology(bond);
  const std::vector<Looks> looks = looks_of(bond);
  std::vector<SurfaceLine> lines;
  for (const auto& [edge, sides] : topology.edges) {
    if (sides.size() != 2 || topology.piece[sides[0].triangle] != topology.piece[sides[1].triangle]) continue;
    if ((looks[sides[0].triangle] == Looks::let_go) != (looks[sides[1].triangle] == Looks::let_go))
      lines.push_back(along_side(sides[0]));
  }
  return lines;
}

std::vector<SurfaceLine> gap_rims(const BondSurface& bond) {
  const auto number = bond.of_cells.find("gap_number");
  if (number == bond.of_cells.end()) return {};
  const viz::Topology topology = viz::find_topology(bond);
  std::vector<SurfaceLine> lines;
  for (const auto& [edge, sides] : topology.edges) {
    if (sides.size() != 2 || topology.piece[sides[0].triangle] != topology.piece[sides[1].triangle]) continue;
    const auto of = [&number = number->second, &sides = sides](std::size_t side) {
      return number(static_cast<Eigen::Index>(sides[side].triangle), 0);
    };
    if (of(0) != of(1)) lines.push_back(along_side(sides[0]));
  }
  return lines;
}

std::vector<SurfaceLine> ratio_contour(const BondSurface& bond, double level) {
  const Eigen::MatrixXd& ratio = bond.point_field("stress_to_strength_ratio");
  const std::vector<Looks> looks = looks_of(bond);
  std::vector<SurfaceLine> lines;
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    if (looks[t] != Looks::holding) continue;
    Eigen::Vector3d values;
    for (Eigen::Index c = 0; c < 3; ++c) values(c) = ratio(bond.triangles[t][static_cast<std::size_t>(c)], 0);
    add_level_line(t, values, level, lines);
  }
  return lines;
}

std::vector<SurfaceLine> hatching(const BondSurface& bond, const OpenedBox& box, Looks wanted,
                                  double spacing) {
  const std::vector<Looks> looks = looks_of(bond);
  std::vector<SurfaceLine> lines;
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    if (looks[t] != wanted) continue;
    Eigen::Vector3d slant;  // distance from the line through the origin that rises at 45 degrees [mm]
    for (Eigen::Index c = 0; c < 3; ++c) {
      const Eigen::Vector2d& at = box.corners[t][static_cast<std::size_t>(c)];
      slant(c) = (at.x() - at.y()) / std::sqrt(2.0);
    }
    for (double level = spacing * std::ceil(slant.minCoeff() / spacing); level <= slant.maxCoeff();
         level += spacing)
      add_level_line(t, slant, level, lines);
  }
  return lines;
}

std::vector<Looks> looks_of(const BondSurface& bond) {
  const Eigen::MatrixXd& active = bond.cell_field("active");
  const Eigen::MatrixXd& debonded = bond.cell_field("share_debonded");
  const Eigen::MatrixXd& lost = bond.cell_field("strength_lost");
  std::vector<Looks> looks;
  for (Eigen::Index t = 0; t < active.rows(); ++t)
    looks.push_back(active(t, 0) == 0       ? Looks::not_filled
                    : debonded(t, 0) >= 0.5 ? Looks::let_go
                    : lost(t, 0) >= 0.05    ? Looks::losing
                                            : Looks::holding);
  return looks;
}

}  // namespace setstress
