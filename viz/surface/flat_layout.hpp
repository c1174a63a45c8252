#pragma once
// Private to viz/: the pieces of a bond, each laid flat on its own and then moved about as a whole. What
// hangs where is for others to say (opened_box).

#include <Eigen/Core>
#include <array>
#include <utility>
#include <vector>

#include "viz/files/result_reader.hpp"
#include "viz/surface/surface_topology.hpp"

namespace setstress::viz {

using FlatTriangle = std::array<Eigen::Vector2d, 3>;  ///< corners [mm]

/// A quarter turn to the left.
Eigen::Vector2d left_of(const Eigen::Vector2d& direction);

class FlatLayout {
 public:
  using Extent = std::pair<Eigen::Vector2d, Eigen::Vector2d>;  ///< lowest and highest coordinates [mm]

  /// Refers to `bond` as long as it lives.
  explicit FlatLayout(const BondSurface& bond);

  [[nodiscard]] const Topology& topology() const { return topology_; }
  [[nodiscard]] const std::vector<std::size_t>& triangles_of(int piece) const {
    return triangles_of_[static_cast<std::size_t>(piece)];
  }
  /// In space [mm].
  [[nodiscard]] Eigen::Vector3d corner(std::size_t triangle, std::size_t c) const {
    return bond_.points[static_cast<std::size_t>(bond_.triangles[triangle][c % 3])];
  }

  /// Lays a piece as seen along its normal, y (else z) up.
  void lay_face_on(int piece);
  /// Lays the piece of this triangle, beginning with its `side` from `start` to `end`, apex to the left.
  void lay_on(const TriangleSide& at, const Eigen::Vector2d& start, const Eigen::Vector2d& end);

  void shift(int piece, const Eigen::Vector2d& by);
  /// Turns and moves a piece so that its points (first of each pair) lie best on where they belong (second).
  void fit(int piece, const std::vector<std::array<Eigen::Vector2d, 2>>& pairs);

  // Of pieces that are laid [mm].
  [[nodiscard]] const std::vector<FlatTriangle>& corners() const { return corners_; }
  [[nodiscard]] Eigen::Vector2d start(const TriangleSide& at) const { return corners_[at.triangle][at.side]; }
  [[nodiscard]] Eigen::Vector2d end(const TriangleSide& at) const {
    return corners_[at.triangle][(at.side + 1) % 3];
  }
  [[nodiscard]] Eigen::Vector2d along(const TriangleSide& at) const { return end(at) - start(at); }
  [[nodiscard]] Eigen::Vector2d middle(const TriangleSide& at) const { return (end(at) + start(at)) / 2; }
  [[nodiscard]] Extent extent_of(int piece) const;
  /// Whether one lies on the other; looked for where their extents meet.
  [[nodiscard]] bool overlap(int piece, int other) const;

 private:
  [[nodiscard]] Eigen::Vector3d area_vector(std::size_t t) const;
  [[nodiscard]] std::size_t flattest(int piece) const;
  void lay_triangle(const TriangleSide& at, const Eigen::Vector2d& start, const Eigen::Vector2d& end);
  void lay_out_from(std::size_t seed);
  void even_out(int piece);
  [[nodiscard]] std::vector<FlatTriangle> triangles_in(int piece, const Extent& box) const;

  const BondSurface& bond_;
  Topology topology_;
  std::vector<FlatTriangle> corners_;
  std::vector<std::vector<std::size_t>> triangles_of_;
  std::vector<char> laid_;  ///< by triangle
};

}  // namespace setstress::viz
