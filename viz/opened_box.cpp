#include "viz/opened_box.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <deque>
#include <limits>

#include "viz/surface_topology.hpp"

namespace setstress {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;
using viz::Topology;
using viz::TriangleSide;

Vector2d left_of(const Vector2d& direction) {
  return {-direction.y(), direction.x()};
}

/// Lays the pieces out one after the other.
class Unfolding {
 public:
  Unfolding(const BondSurface& bond, double gap)
      : bond_(bond), topology_(viz::find_topology(bond)), gap_(gap) {
    box_.corners.resize(bond.triangles.size());
    box_.piece_of = topology_.piece;
    triangles_of_.resize(static_cast<std::size_t>(topology_.pieces));
    for (std::size_t t = 0; t < bond.triangles.size(); ++t)
      triangles_of_[static_cast<std::size_t>(topology_.piece[t])].push_back(t);
    box_.pieces.resize(triangles_of_.size());
    placed_.assign(triangles_of_.size(), 0);
    laid_.assign(bond.triangles.size(), 0);
  }

  OpenedBox run() {
    for (int root = first_piece(); root >= 0; root = first_piece()) {
      std::deque<int> parents{place_root(root)};
      for (; !parents.empty(); parents.pop_front())
        for (const auto& [child, hinge] : children_of(parents.front())) {
          hang(child, hinge);
          parents.push_back(child);
        }
    }
    std::tie(box_.low, box_.high) = extent_of_placed();
    return std::move(box_);
  }

 private:
  using Extent = std::pair<Vector2d, Vector2d>;

  [[nodiscard]] Vector3d corner(std::size_t triangle, std::size_t c) const {
    return bond_.points[static_cast<std::size_t>(bond_.triangles[triangle][c % 3])];
  }
  [[nodiscard]] int wall_of(int piece) const {
    const std::size_t triangle = triangles_of_[static_cast<std::size_t>(piece)].front();
    return static_cast<int>(bond_.cell_field("wall")(static_cast<Eigen::Index>(triangle), 0));
  }

  /// Of the pieces not placed yet the lowest floor, else the largest; -1 when all are placed.
  [[nodiscard]] int first_piece() const {
    int best = -1;
    std::array<double, 3> most{-1, 0, 0};
    for (int piece = 0; piece < topology_.pieces; ++piece) {
      if (placed_[static_cast<std::size_t>(piece)]) continue;
      const bool floor =
          bond_.walls.at(static_cast<std::size_t>(wall_of(piece))).find("floor") != std::string::npos;
      double area = 0, height = 0;
      for (const std::size_t t : triangles_of_[static_cast<std::size_t>(piece)]) {
        area += bond_.area(t);
        height += bond_.area(t) * (corner(t, 0) + corner(t, 1) + corner(t, 2)).z() / 3;
      }
      const std::array<double, 3> rank{floor ? 1.0 : 0.0, floor ? -height / area : area, area};
      if (best >= 0 && rank <= most) continue;
      best = piece;
      most = rank;
    }
    return best;
  }

  /// Puts a piece that hangs on nothing: as seen along its normal, to the right of what is there.
  int place_root(int piece) {
    const std::size_t seed = triangles_of_[static_cast<std::size_t>(piece)].front();
    const Vector3d normal =
        (corner(seed, 1) - corner(seed, 0)).cross(corner(seed, 2) - corner(seed, 0)).normalized();
    const Vector3d above = std::abs(normal.y()) > 0.9 ? Vector3d::UnitZ() : Vector3d::UnitY();
    const Vector3d right = above.cross(normal).normalized(), up = normal.cross(right);
    for (std::size_t c = 0; c < 3; ++c)
      box_.corners[seed][c] = {right.dot(corner(seed, c)), up.dot(corner(seed, c))};
    lay_out_from(seed);
    if (std::ranges::count(placed_, 1) > 0) {
      const auto [low, high] = extent_of_placed();
      const auto [own_low, own_high] = extent_of(piece);
      shift(piece, {high.x() - own_low.x() + 1, (low.y() + high.y() - own_low.y() - own_high.y()) / 2});
    }
    finish(piece, Vector2d::Zero());
    return piece;
  }

  /// Unplaced pieces that share an edge with `parent`, longest common edge first, and the side of the
  /// parent's triangle each hangs on.
  [[nodiscard]] std::vector<std::pair<int, TriangleSide>> children_of(int parent) const {
    std::map<int, std::vector<TriangleSide>> common;
    for (const std::size_t t : triangles_of_[static_cast<std::size_t>(parent)])
      for (std::size_t side = 0; side < 3; ++side)
        for (const TriangleSide& other : topology_.around(t, side)) {
          const int piece = topology_.piece[other.triangle];
          if (!placed_[static_cast<std::size_t>(piece)] && piece != parent)
            common[piece].push_back({t, side});
        }
    std::vector<std::pair<double, std::pair<int, TriangleSide>>> ranked;
    for (const auto& [piece, sides] : common) {
      double length = 0;
      for (const TriangleSide& side : sides) length += flat_side(side).norm();
      ranked.push_back({length, {piece, middle_side(sides)}});
    }
    std::ranges::stable_sort(ranked, [](const auto& a, const auto& b) { return a.first > b.first; });
    std::vector<std::pair<int, TriangleSide>> children;
    for (const auto& [length, child] : ranked) children.push_back(child);
    return children;
  }

  [[nodiscard]] Vector2d flat_side(const TriangleSide& at) const {
    return box_.corners[at.triangle][(at.side + 1) % 3] - box_.corners[at.triangle][at.side];
  }
  [[nodiscard]] Vector2d flat_middle(const TriangleSide& at) const {
    return (box_.corners[at.triangle][(at.side + 1) % 3] + box_.corners[at.triangle][at.side]) / 2;
  }

  /// The side nearest to the middle of a common edge; of a closed one the lowest, so that it opens towards
  /// the reader.
  [[nodiscard]] TriangleSide middle_side(const std::vector<TriangleSide>& sides) const {
    Vector2d along = Vector2d::Zero(), middle = Vector2d::Zero();
    double length = 0;
    for (const TriangleSide& side : sides) {
      along += flat_side(side);
      middle += flat_side(side).norm() * flat_middle(side);
      length += flat_side(side).norm();
    }
    const bool closed = along.norm() < 0.2 * length;
    return *std::ranges::min_element(sides, {}, [&](const TriangleSide& side) {
      return closed ? flat_middle(side).y() : (flat_middle(side) - middle / length).norm();
    });
  }

  void hang(int piece, const TriangleSide& hinge) {
    for (const TriangleSide& other : topology_.around(hinge.triangle, hinge.side)) {
      if (topology_.piece[other.triangle] != piece) continue;
      lay_on(other, box_.corners[hinge.triangle][(hinge.side + 1) % 3],
             box_.corners[hinge.triangle][hinge.side]);
      lay_out_from(other.triangle);
      break;
    }
    const Vector2d outward = -left_of(flat_side(hinge).normalized());
    shift(piece, gap_ * outward);
    while (overlaps(piece)) shift(piece, 0.05 * outward);
    finish(piece, outward);
  }

  /// Puts a triangle down with its `side` from `start` to `end`, apex to the left.
  void lay_on(const TriangleSide& at, const Vector2d& start, const Vector2d& end) {
    const Vector3d base = corner(at.triangle, at.side + 1) - corner(at.triangle, at.side);
    const Vector3d apex = corner(at.triangle, at.side + 2) - corner(at.triangle, at.side);
    const double along = apex.dot(base) / base.norm(), across = apex.cross(base).norm() / base.norm();
    const Vector2d direction = (end - start).normalized();
    auto& flat = box_.corners[at.triangle];
    flat[at.side] = start;
    flat[(at.side + 1) % 3] = end;
    flat[(at.side + 2) % 3] = start + along * direction + across * left_of(direction);
  }

  /// Breadth first, so that a closed wall parts opposite to the seed.
  void lay_out_from(std::size_t seed) {
    std::deque<std::size_t> open{seed};
    laid_[seed] = 1;
    for (; !open.empty(); open.pop_front()) {
      const std::size_t here = open.front();
      for (std::size_t side = 0; side < 3; ++side)
        for (const TriangleSide& next : topology_.around(here, side)) {
          if (laid_[next.triangle] || topology_.piece[next.triangle] != topology_.piece[here]) continue;
          lay_on(next, box_.corners[here][(side + 1) % 3], box_.corners[here][side]);
          laid_[next.triangle] = 1;
          open.push_back(next.triangle);
        }
    }
  }

  void shift(int piece, const Vector2d& by) {
    for (const std::size_t t : triangles_of_[static_cast<std::size_t>(piece)])
      for (Vector2d& point : box_.corners[t]) point += by;
  }

  [[nodiscard]] Extent extent_of(int piece) const {
    Extent extent{Vector2d::Constant(std::numeric_limits<double>::max()),
                  Vector2d::Constant(std::numeric_limits<double>::lowest())};
    for (const std::size_t t : triangles_of_[static_cast<std::size_t>(piece)])
      for (const Vector2d& point : box_.corners[t]) {
        extent.first = extent.first.cwiseMin(point);
        extent.second = extent.second.cwiseMax(point);
      }
    return extent;
  }
  [[nodiscard]] Extent extent_of_placed() const {
    Extent all{Vector2d::Constant(std::numeric_limits<double>::max()),
               Vector2d::Constant(std::numeric_limits<double>::lowest())};
    for (int piece = 0; piece < topology_.pieces; ++piece) {
      if (!placed_[static_cast<std::size_t>(piece)]) continue;
      const auto [low, high] = extent_of(piece);
      all = {all.first.cwiseMin(low), all.second.cwiseMax(high)};
    }
    return all;
  }
  [[nodiscard]] bool overlaps(int piece) const {
    const auto [low, high] = extent_of(piece);
    for (int other = 0; other < topology_.pieces; ++other) {
      if (!placed_[static_cast<std::size_t>(other)]) continue;
      const auto [other_low, other_high] = extent_of(other);
      if ((low.array() < other_high.array() - 1e-3).all() && (other_low.array() < high.array() - 1e-3).all())
        return true;
    }
    return false;
  }

  /// The name of a piece folded out up or down goes beyond its outer rim, of one folded out sideways above
  /// it.
  void finish(int piece, const Vector2d& outward) {
    placed_[static_cast<std::size_t>(piece)] = 1;
    const auto [low, high] = extent_of(piece);
    const Vector2d centre = (low + high) / 2;
    Vector2d side = Vector2d::Zero();
    if (!outward.isZero()) side.y() = outward.y() < -0.7 ? -1 : 1;
    box_.pieces[static_cast<std::size_t>(piece)] = {.wall = wall_of(piece),
                                                    .centre = centre,
                                                    .name_at = centre + side * (high.y() - low.y()) / 2,
                                                    .name_side = side};
  }

  const BondSurface& bond_;
  Topology topology_;
  double gap_;
  OpenedBox box_;
  std::vector<std::vector<std::size_t>> triangles_of_;
  std::vector<char> placed_, laid_;
};

}  // namespace

OpenedBox open_box(const BondSurface& bond, double gap) {
  return Unfolding(bond, gap).run();
}

}  // namespace setstress
