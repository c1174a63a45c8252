#include "viz/opened_box.hpp"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <optional>

#include "viz/flatten.hpp"
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
      place_root(root);
      for (auto next = next_hinge(); next; next = next_hinge()) hang(*next);
    }
    std::tie(box_.low, box_.high) = extent_of_placed();
    leave_splinters_unnamed();
    return std::move(box_);
  }

 private:
  using Extent = std::pair<Vector2d, Vector2d>;
  /// A piece to place next, the sides of placed triangles along which it hangs, and the one in the middle of
  /// them.
  struct Hinge {
    int child;
    std::vector<TriangleSide> sides;
    TriangleSide middle;
    bool closed;  ///< the sides run round the placed piece
  };

  [[nodiscard]] Vector3d corner(std::size_t triangle, std::size_t c) const {
    return bond_.points[static_cast<std::size_t>(bond_.triangles[triangle][c % 3])];
  }
  [[nodiscard]] bool is_floor(int piece) const {
    return bond_.walls.at(static_cast<std::size_t>(wall_of(piece))).find("floor") != std::string::npos;
  }
  [[nodiscard]] int wall_of(int piece) const {
    const std::size_t triangle = triangles_of_[static_cast<std::size_t>(piece)].front();
    return static_cast<int>(bond_.cell_field("wall")(static_cast<Eigen::Index>(triangle), 0));
  }

  void leave_splinters_unnamed() {
    constexpr double splinter = 0.1;  // of the largest piece of the wall
    for (std::size_t t = 0; t < bond_.triangles.size(); ++t)
      box_.pieces[static_cast<std::size_t>(box_.piece_of[t])].area += bond_.area(t);
    for (OpenedPiece& piece : box_.pieces)
      piece.named = std::ranges::none_of(box_.pieces, [&](const OpenedPiece& other) {
        return other.wall == piece.wall && piece.area < splinter * other.area;
      });
  }

  /// Of the pieces not placed yet the lowest floor, else the largest; -1 when all are placed.
  [[nodiscard]] int first_piece() const {
    int best = -1;
    std::array<double, 3> most{-1, 0, 0};
    for (int piece = 0; piece < topology_.pieces; ++piece) {
      if (placed_[static_cast<std::size_t>(piece)]) continue;
      const bool floor = is_floor(piece);
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

  [[nodiscard]] Vector3d area_vector(std::size_t t) const {
    return 0.5 * (corner(t, 1) - corner(t, 0)).cross(corner(t, 2) - corner(t, 0));
  }
  /// The triangle that faces most nearly where the piece as a whole faces.
  [[nodiscard]] std::size_t flattest(int piece) const {
    const std::vector<std::size_t>& own = triangles_of_[static_cast<std::size_t>(piece)];
    Vector3d facing = Vector3d::Zero();
    for (const std::size_t t : own) facing += area_vector(t);
    return *std::ranges::max_element(own, {},
                                     [&](std::size_t t) { return area_vector(t).normalized().dot(facing); });
  }

  /// Puts a piece that hangs on nothing: as seen along its normal, to the right of what is there.
  void place_root(int piece) {
    const std::size_t seed = flattest(piece);
    const Vector3d normal = area_vector(seed).normalized();
    const Vector3d above = std::abs(normal.y()) > 0.9 ? Vector3d::UnitZ() : Vector3d::UnitY();
    const Vector3d right = above.cross(normal).normalized(), up = normal.cross(right);
    for (std::size_t c = 0; c < 3; ++c)
      box_.corners[seed][c] = {right.dot(corner(seed, c)), up.dot(corner(seed, c))};
    lay_out_from(seed);
    even_out(piece);
    if (std::ranges::count(placed_, 1) > 0) {
      const auto [low, high] = extent_of_placed();
      const auto [own_low, own_high] = extent_of(piece);
      shift(piece, {high.x() - own_low.x() + 1, (low.y() + high.y() - own_low.y() - own_high.y()) / 2});
    }
    finish(piece, Vector2d::Zero(), Vector2d::Zero());
  }

  /// Of all pieces that touch a placed one: floors before walls, on floors before on walls, along the longest
  /// common edge; so that the walls of a step hang on its floor and not on the wall below it.
  [[nodiscard]] std::optional<Hinge> next_hinge() const {
    std::map<std::pair<int, int>, std::vector<TriangleSide>> common;  // by parent and child
    for (std::size_t t = 0; t < bond_.triangles.size(); ++t) {
      const int parent = topology_.piece[t];
      if (!placed_[static_cast<std::size_t>(parent)]) continue;
      for (std::size_t side = 0; side < 3; ++side)
        for (const TriangleSide& other : topology_.around(t, side)) {
          const int child = topology_.piece[other.triangle];
          if (!placed_[static_cast<std::size_t>(child)]) common[{parent, child}].push_back({t, side});
        }
    }
    std::optional<Hinge> best;
    std::array<double, 3> most{-1, 0, 0};
    for (const auto& [pair, sides] : common) {
      double length = 0;
      for (const TriangleSide& side : sides) length += flat_side(side).norm();
      const std::array<double, 3> rank{is_floor(pair.second) ? 1.0 : 0.0, is_floor(pair.first) ? 1.0 : 0.0,
                                       length};
      if (rank <= most) continue;
      most = rank;
      best = make_hinge(pair.second, sides);
    }
    return best;
  }

  [[nodiscard]] Vector2d flat_side(const TriangleSide& at) const {
    return box_.corners[at.triangle][(at.side + 1) % 3] - box_.corners[at.triangle][at.side];
  }
  [[nodiscard]] Vector2d flat_middle(const TriangleSide& at) const {
    return (box_.corners[at.triangle][(at.side + 1) % 3] + box_.corners[at.triangle][at.side]) / 2;
  }

  /// The middle of a common edge is the side nearest to its centroid; of a closed one the lowest side, so
  /// that the wall opens towards the reader.
  [[nodiscard]] Hinge make_hinge(int child, const std::vector<TriangleSide>& sides) const {
    Vector2d middle = Vector2d::Zero();
    double length = 0;
    for (const TriangleSide& side : sides) {
      middle += flat_side(side).norm() * flat_middle(side);
      length += flat_side(side).norm();
    }
    const bool closed = along(sides).norm() < 0.2 * length;
    const TriangleSide best = *std::ranges::min_element(sides, {}, [&](const TriangleSide& side) {
      return closed ? flat_middle(side).y() : (flat_middle(side) - middle / length).norm();
    });
    return {child, sides, best, closed};
  }
  [[nodiscard]] Vector2d along(const std::vector<TriangleSide>& sides) const {
    Vector2d sum = Vector2d::Zero();
    for (const TriangleSide& side : sides) sum += flat_side(side);
    return sum;
  }

  void hang(const Hinge& hinge) {
    const TriangleSide own = side_of(hinge.child, hinge.middle);
    lay_on(own, flat_end(hinge.middle), flat_start(hinge.middle));
    lay_out_from(own.triangle);
    even_out(hinge.child);
    if (!hinge.closed) fit_to(hinge);
    const Vector2d edge = hinge.closed ? flat_side(hinge.middle) : along(hinge.sides);
    const Vector2d outward = -left_of(edge.normalized());
    shift(hinge.child, gap_ * outward);
    for (int step = 0; step < 400 && overlaps(hinge.child); ++step) shift(hinge.child, 0.05 * outward);
    finish(hinge.child, outward,
           box_.pieces[static_cast<std::size_t>(topology_.piece[hinge.middle.triangle])].name_side);
  }

  [[nodiscard]] Vector2d flat_start(const TriangleSide& at) const {
    return box_.corners[at.triangle][at.side];
  }
  [[nodiscard]] Vector2d flat_end(const TriangleSide& at) const {
    return box_.corners[at.triangle][(at.side + 1) % 3];
  }
  /// The side of `piece` that lies on a side of its neighbour.
  [[nodiscard]] TriangleSide side_of(int piece, const TriangleSide& neighbour) const {
    return *std::ranges::find_if(
        topology_.around(neighbour.triangle, neighbour.side),
        [&](const TriangleSide& other) { return topology_.piece[other.triangle] == piece; });
  }

  /// Turns and moves a piece so that its whole common edge lies best on that of its neighbour (least squares
  /// in the plane: the angle from the sums of dot and cross products about the centroids).
  void fit_to(const Hinge& hinge) {
    std::vector<std::array<Vector2d, 2>> pairs;  // own point, where it belongs
    for (const TriangleSide& side : hinge.sides) {
      const TriangleSide own = side_of(hinge.child, side);
      pairs.push_back({flat_start(own), flat_end(side)});
      pairs.push_back({flat_end(own), flat_start(side)});
    }
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
    for (const std::size_t t : triangles_of_[static_cast<std::size_t>(hinge.child)])
      for (Vector2d& point : box_.corners[t]) point = to + turn * (point - from);
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

  /// Closes the tears that a wall rounded both ways is left with, by stretching it a little. A slit wall
  /// stays slit:
  /// where the same corner lies in two places far apart, nothing is changed.
  void even_out(int piece) {
    constexpr double widest_tear = 0.6;  // mm
    const std::vector<std::size_t>& own = triangles_of_[static_cast<std::size_t>(piece)];
    viz::Patch patch;
    std::map<int, int> number;
    std::vector<Vector2d> flat;
    std::vector<int> copies;
    for (const std::size_t t : own) {
      std::array<int, 3>& triangle = patch.triangles.emplace_back();
      for (std::size_t c = 0; c < 3; ++c) {
        const auto [entry, is_new] =
            number.try_emplace(topology_.corners[t][c], static_cast<int>(flat.size()));
        triangle[c] = entry->second;
        const auto n = static_cast<std::size_t>(entry->second);
        if (is_new) {
          patch.position.push_back(corner(t, c));
          flat.push_back(box_.corners[t][c]);
          copies.push_back(1);
        } else if ((flat[n] - box_.corners[t][c]).norm() > widest_tear) {
          return;
        } else {
          flat[n] += (box_.corners[t][c] - flat[n]) / ++copies[n];
        }
      }
    }
    const auto even = viz::flatten(patch, std::move(flat));
    if (!even) return;
    for (std::size_t t = 0; t < own.size(); ++t)
      for (std::size_t c = 0; c < 3; ++c)
        box_.corners[own[t]][c] = (*even)[static_cast<std::size_t>(patch.triangles[t][c])];
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
  /// Whether a piece lies on one placed before, or the other way round; looked for where their extents meet.
  [[nodiscard]] bool overlaps(int piece) const {
    for (int other = 0; other < topology_.pieces; ++other) {
      if (!placed_[static_cast<std::size_t>(other)]) continue;
      const Extent own = extent_of(piece), theirs = extent_of(other);
      const Extent common{own.first.cwiseMax(theirs.first), own.second.cwiseMin(theirs.second)};
      if ((common.first.array() >= common.second.array()).any()) continue;
      const auto mine = triangles_in(piece, common), placed = triangles_in(other, common);
      if (any_covers(mine, placed) || any_covers(placed, mine)) return true;
    }
    return false;
  }
  [[nodiscard]] std::vector<std::array<Vector2d, 3>> triangles_in(int piece, const Extent& box) const {
    std::vector<std::array<Vector2d, 3>> found;
    for (const std::size_t t : triangles_of_[static_cast<std::size_t>(piece)]) {
      const auto& c = box_.corners[t];
      const Vector2d low = c[0].cwiseMin(c[1]).cwiseMin(c[2]), high = c[0].cwiseMax(c[1]).cwiseMax(c[2]);
      if ((low.array() < box.second.array()).all() && (high.array() > box.first.array()).all())
        found.push_back(c);
    }
    return found;
  }
  /// Whether any of `upper` covers the middle of one of `lower`, or a point close to one of its corners.
  [[nodiscard]] static bool any_covers(const std::vector<std::array<Vector2d, 3>>& upper,
                                       const std::vector<std::array<Vector2d, 3>>& lower) {
    for (const auto& triangle : lower) {
      const Vector2d middle = (triangle[0] + triangle[1] + triangle[2]) / 3;
      for (const Vector2d& point :
           {middle, Vector2d(0.9 * triangle[0] + 0.1 * middle), Vector2d(0.9 * triangle[1] + 0.1 * middle),
            Vector2d(0.9 * triangle[2] + 0.1 * middle)})
        if (std::ranges::any_of(upper, [&](const auto& each) { return covers(each, point); })) return true;
    }
    return false;
  }
  [[nodiscard]] static bool covers(const std::array<Vector2d, 3>& triangle, const Vector2d& point) {
    for (std::size_t c = 0; c < 3; ++c)
      if (left_of(triangle[(c + 1) % 3] - triangle[c]).dot(point - triangle[c]) < 0) return false;
    return true;
  }

  /// The name of a floor stays on it. The name of a wall folded out up or down goes beyond its outer rim; of
  /// one folded out sideways above it, or below where the name of the piece it hangs on is above.
  void finish(int piece, const Vector2d& outward, const Vector2d& parents_name_side) {
    placed_[static_cast<std::size_t>(piece)] = 1;
    const auto [low, high] = extent_of(piece);
    const Vector2d centre = (low + high) / 2;
    Vector2d side = Vector2d::Zero();
    const bool upright = std::abs(outward.y()) > 0.7;
    if (!is_floor(piece) && !outward.isZero())
      side.y() = (upright ? outward.y() < 0 : parents_name_side.y() > 0) ? -1 : 1;
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
