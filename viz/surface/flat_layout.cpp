#include "viz/surface/flat_layout.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <map>

#include "viz/surface/flatten.hpp"

namespace setstress::viz {

using Eigen::Vector2d;
using Eigen::Vector3d;

namespace {

bool covers(const FlatTriangle& triangle, const Vector2d& point) {
  for (std::size_t c = 0; c < 3; ++c)
    if (left_of(triangle[(c + 1) % 3] - triangle[c]).dot(point - triangle[c]) < 0) return false;
  return true;
}

/// Whether any of `upper` covers the middle of one of `lower`, or a point close to one of its corners.
bool any_covers(const std::vector<FlatTriangle>& upper, const std::vector<FlatTriangle>& lower) {
  for (const auto& triangle : lower) {
    const Vector2d middle = (triangle[0] + triangle[1] + triangle[2]) / 3;
    for (const Vector2d& point :
         {middle, Vector2d(0.9 * triangle[0] + 0.1 * middle), Vector2d(0.9 * triangle[1] + 0.1 * middle),
          Vector2d(0.9 * triangle[2] + 0.1 * middle)})
      if (std::ranges::any_of(upper, [&](const auto& each) { return covers(each, point); })) return true;
  }
  return false;
}

}  // namespace

Vector2d left_of(const Vector2d& direction) {
  return {-direction.y(), direction.x()};
}

FlatLayout::FlatLayout(const BondSurface& bond) : bond_(bond), topology_(find_topology(bond)) {
  corners_.resize(bond.triangles.size());
  triangles_of_.resize(static_cast<std::size_t>(topology_.pieces));
  for (std::size_t t = 0; t < bond.triangles.size(); ++t)
    triangles_of_[static_cast<std::size_t>(topology_.piece[t])].push_back(t);
  laid_.assign(bond.triangles.size(), 0);
}

Vector3d FlatLayout::area_vector(std::size_t t) const {
  return 0.5 * (corner(t, 1) - corner(t, 0)).cross(corner(t, 2) - corner(t, 0));
}
/// The triangle that faces most nearly where the piece as a whole faces.
std::size_t FlatLayout::flattest(int piece) const {
  const std::vector<std::size_t>& own = triangles_of(piece);
  Vector3d facing = Vector3d::Zero();
  for (const std::size_t t : own) facing += area_vector(t);
  return *std::ranges::max_element(own, {},
                                   [&](std::size_t t) { return area_vector(t).normalized().dot(facing); });
}

void FlatLayout::lay_face_on(int piece) {
  const std::size_t seed = flattest(piece);
  const Vector3d normal = area_vector(seed).normalized();
  const Vector3d above = std::abs(normal.y()) > 0.9 ? Vector3d::UnitZ() : Vector3d::UnitY();
  const Vector3d right = above.cross(normal).normalized(), up = normal.cross(right);
  for (std::size_t c = 0; c < 3; ++c)
    corners_[seed][c] = {right.dot(corner(seed, c)), up.dot(corner(seed, c))};
  lay_out_from(seed);
  even_out(piece);
}

void FlatLayout::lay_on(const TriangleSide& at, const Vector2d& start, const Vector2d& end) {
  lay_triangle(at, start, end);
  lay_out_from(at.triangle);
  even_out(topology_.piece[at.triangle]);
}

/// Puts a triangle down with its `side` from `start` to `end`, apex to the left.
void FlatLayout::lay_triangle(const TriangleSide& at, const Vector2d& start, const Vector2d& end) {
  const Vector3d base = corner(at.triangle, at.side + 1) - corner(at.triangle, at.side);
  const Vector3d apex = corner(at.triangle, at.side + 2) - corner(at.triangle, at.side);
  const double along = apex.dot(base) / base.norm(), across = apex.cross(base).norm() / base.norm();
  const Vector2d direction = (end - start).normalized();
  auto& flat = corners_[at.triangle];
  flat[at.side] = start;
  flat[(at.side + 1) % 3] = end;
  flat[(at.side + 2) % 3] = start + along * direction + across * left_of(direction);
}

/// Breadth first, so that a closed wall parts opposite to the seed.
void FlatLayout::lay_out_from(std::size_t seed) {
  std::deque<std::size_t> open{seed};
  laid_[seed] = 1;
  for (; !open.empty(); open.pop_front()) {
    const std::size_t here = open.front();
    for (std::size_t side = 0; side < 3; ++side)
      for (const TriangleSide& next : topology_.around(here, side)) {
        if (laid_[next.triangle] || topology_.piece[next.triangle] != topology_.piece[here]) continue;
        lay_triangle(next, corners_[here][(side + 1) % 3], corners_[here][side]);
        laid_[next.triangle] = 1;
        open.push_back(next.triangle);
      }
  }
}

/// Closes the tears that a wall rounded both ways is left with, by stretching it a little. A slit wall
/// stays slit: where the same corner lies in two places far apart, nothing is changed.
void FlatLayout::even_out(int piece) {
  constexpr double widest_tear = 0.6;  // mm
  const std::vector<std::size_t>& own = triangles_of(piece);
  Patch patch;
  std::map<int, int> number;
  std::vector<Vector2d> flat;
  std::vector<int> copies;
  for (const std::size_t t : own) {
    std::array<int, 3>& triangle = patch.triangles.emplace_back();
    for (std::size_t c = 0; c < 3; ++c) {
      const auto [entry, is_new] = number.try_emplace(topology_.corners[t][c], static_cast<int>(flat.size()));
      triangle[c] = entry->second;
      const auto n = static_cast<std::size_t>(entry->second);
      if (is_new) {
        patch.position.push_back(corner(t, c));
        flat.push_back(corners_[t][c]);
        copies.push_back(1);
      } else if ((flat[n] - corners_[t][c]).norm() > widest_tear) {
        return;
      } else {
        flat[n] += (corners_[t][c] - flat[n]) / ++copies[n];
      }
    }
  }
  const auto even = flatten(patch, std::move(flat));
  if (!even) return;
  for (std::size_t t = 0; t < own.size(); ++t)
    for (std::size_t c = 0; c < 3; ++c)
      corners_[own[t]][c] = (*even)[static_cast<std::size_t>(patch.triangles[t][c])];
}

void FlatLayout::shift(int piece, const Vector2d& by) {
  for (const std::size_t t : triangles_of(piece))
    for (Vector2d& point : corners_[t]) point += by;
}

/// Least squares in the plane: the angle from the sums of dot and cross products about the centroids.
void FlatLayout::fit(int piece, const std::vector<std::array<Vector2d, 2>>& pairs) {
  Vector2d from = Vector2d::Zero(), to = Vector2d::Zero();
  for (const auto& [own, other] : pairs) {
    from += own / static_cast<double>(pairs.size());
    to += other / static_cast<double>(pairs.size());
  }
  double dot = 0, cross = 0;
  for (const auto& [own, other] : pairs) {
    dot += (own - from).dot(other - to);
    cross += left_of(own - from).dot(other - to);
  }
  const Eigen::Rotation2Dd turn(std::atan2(cross, dot));
  for (const std::size_t t : triangles_of(piece))
    for (Vector2d& point : corners_[t]) point = to + turn * (point - from);
}

FlatLayout::Extent FlatLayout::extent_of(int piece) const {
  Extent extent{Vector2d::Constant(std::numeric_limits<double>::max()),
                Vector2d::Constant(std::numeric_limits<double>::lowest())};
  for (const std::size_t t : triangles_of(piece))
    for (const Vector2d& point : corners_[t]) {
      extent.first = extent.first.cwiseMin(point);
      extent.second = extent.second.cwiseMax(point);
    }
  return extent;
}

std::vector<FlatTriangle> FlatLayout::triangles_in(int piece, const Extent& box) const {
  std::vector<FlatTriangle> found;
  for (const std::size_t t : triangles_of(piece)) {
    const auto& c = corners_[t];
    const Vector2d low = c[0].cwiseMin(c[1]).cwiseMin(c[2]), high = c[0].cwiseMax(c[1]).cwiseMax(c[2]);
    if ((low.array() < box.second.array()).all() && (high.array() > box.first.array()).all())
      found.push_back(c);
  }
  return found;
}

bool FlatLayout::overlap(int piece, int other) const {
  const Extent own = extent_of(piece), theirs = extent_of(other);
  const Extent common{own.first.cwiseMax(theirs.first), own.second.cwiseMin(theirs.second)};
  if ((common.first.array() >= common.second.array()).any()) return false;
  const auto mine = triangles_in(piece, common), others = triangles_in(other, common);
  return any_covers(mine, others) || any_covers(others, mine);
}

}  // namespace setstress::viz
