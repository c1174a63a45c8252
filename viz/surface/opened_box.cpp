#include "viz/surface/opened_box.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <tuple>

#include "viz/surface/flat_layout.hpp"

namespace setstress {
namespace {

using Eigen::Vector2d;
using viz::FlatLayout;
using viz::TriangleSide;

/// Hangs the pieces on one another, one after the other.
class Unfolding {
 public:
  Unfolding(const BondSurface& bond, double gap) : bond_(bond), flat_(bond), gap_(gap) {
    box_.piece_of = flat_.topology().piece;
    const auto pieces = static_cast<std::size_t>(flat_.topology().pieces);
    box_.pieces.resize(pieces);
    placed_.assign(pieces, 0);
  }

  OpenedBox run() {
    for (int root = first_piece(); root >= 0; root = first_piece()) {
      place_root(root);
      for (auto next = next_hinge(); next; next = next_hinge()) hang(*next);
    }
    box_.corners = flat_.corners();
    std::tie(box_.low, box_.high) = extent_of_placed();
    leave_splinters_unnamed();
    return std::move(box_);
  }

 private:
  using Extent = FlatLayout::Extent;
  /// A piece to place next, the sides of placed triangles along which it hangs, and the one in the middle of
  /// them.
  struct Hinge {
    int child;
    std::vector<TriangleSide> sides;
    TriangleSide middle;
    bool closed;  ///< the sides run round the placed piece
  };

  [[nodiscard]] bool is_floor(int piece) const {
    return bond_.walls.at(static_cast<std::size_t>(wall_of(piece))).find("floor") != std::string::npos;
  }
  [[nodiscard]] int wall_of(int piece) const {
    const std::size_t triangle = flat_.triangles_of(piece).front();
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
    for (int piece = 0; piece < flat_.topology().pieces; ++piece) {
      if (placed_[static_cast<std::size_t>(piece)]) continue;
      const bool floor = is_floor(piece);
      double area = 0, height = 0;
      for (const std::size_t t : flat_.triangles_of(piece)) {
        area += bond_.area(t);
        height += bond_.area(t) * (flat_.corner(t, 0) + flat_.corner(t, 1) + flat_.corner(t, 2)).z() / 3;
      }
      const std::array<double, 3> rank{floor ? 1.0 : 0.0, floor ? -height / area : area, area};
      if (best >= 0 && rank <= most) continue;
      best = piece;
      most = rank;
    }
    return best;
  }

  /// Puts a piece that hangs on nothing to the right of what is there.
  void place_root(int piece) {
    flat_.lay_face_on(piece);
    if (std::ranges::count(placed_, 1) > 0) {
      const auto [low, high] = extent_of_placed();
      const auto [own_low, own_high] = flat_.extent_of(piece);
      flat_.shift(piece, {high.x() - own_low.x() + 1, (low.y() + high.y() - own_low.y() - own_high.y()) / 2});
    }
    finish(piece, Vector2d::Zero(), Vector2d::Zero());
  }

  /// Of all pieces that touch a placed one: floors before walls, on floors before on walls, along the longest
  /// common edge; so that the walls of a step hang on its floor and not on the wall below it.
  [[nodiscard]] std::optional<Hinge> next_hinge() const {
    std::map<std::pair<int, int>, std::vector<TriangleSide>> common;  // by parent and child
    for (std::size_t t = 0; t < bond_.triangles.size(); ++t) {
      const int parent = flat_.topology().piece[t];
      if (!placed_[static_cast<std::size_t>(parent)]) continue;
      for (std::size_t side = 0; side < 3; ++side)
        for (const TriangleSide& other : flat_.topology().around(t, side)) {
          const int child = flat_.topology().piece[other.triangle];
          if (!placed_[static_cast<std::size_t>(child)]) common[{parent, child}].push_back({t, side});
        }
    }
    std::optional<Hinge> best;
    std::array<double, 3> most{-1, 0, 0};
    for (const auto& [pair, sides] : common) {
      double length = 0;
      for (const TriangleSide& side : sides) length += flat_.along(side).norm();
      const std::array<double, 3> rank{is_floor(pair.second) ? 1.0 : 0.0, is_floor(pair.first) ? 1.0 : 0.0,
                                       length};
      if (rank <= most) continue;
      most = rank;
      best = make_hinge(pair.second, sides);
    }
    return best;
  }

  /// The middle of a common edge is the side nearest to its centroid; of a closed one the lowest side, so
  /// that the wall opens towards the reader.
  [[nodiscard]] Hinge make_hinge(int child, const std::vector<TriangleSide>& sides) const {
    Vector2d middle = Vector2d::Zero();
    double length = 0;
    for (const TriangleSide& side : sides) {
      middle += flat_.along(side).norm() * flat_.middle(side);
      length += flat_.along(side).norm();
    }
    const bool closed = along(sides).norm() < 0.2 * length;
    const TriangleSide best = *std::ranges::min_element(sides, {}, [&](const TriangleSide& side) {
      return closed ? flat_.middle(side).y() : (flat_.middle(side) - middle / length).norm();
    });
    return {child, sides, best, closed};
  }
  [[nodiscard]] Vector2d along(const std::vector<TriangleSide>& sides) const {
    Vector2d sum = Vector2d::Zero();
    for (const TriangleSide& side : sides) sum += flat_.along(side);
    return sum;
  }

  void hang(const Hinge& hinge) {
    const TriangleSide own = side_of(hinge.child, hinge.middle);
    flat_.lay_on(own, flat_.end(hinge.middle), flat_.start(hinge.middle));
    if (!hinge.closed) fit_to(hinge);
    const Vector2d edge = hinge.closed ? flat_.along(hinge.middle) : along(hinge.sides);
    const Vector2d outward = -viz::left_of(edge.normalized());
    flat_.shift(hinge.child, gap_ * outward);
    for (int step = 0; step < 400 && overlaps(hinge.child); ++step) flat_.shift(hinge.child, 0.05 * outward);
    finish(hinge.child, outward,
           box_.pieces[static_cast<std::size_t>(flat_.topology().piece[hinge.middle.triangle])].name_side);
  }

  /// The side of `piece` that lies on a side of its neighbour.
  [[nodiscard]] TriangleSide side_of(int piece, const TriangleSide& neighbour) const {
    return *std::ranges::find_if(
        flat_.topology().around(neighbour.triangle, neighbour.side),
        [&](const TriangleSide& other) { return flat_.topology().piece[other.triangle] == piece; });
  }

  /// Puts the whole common edge of a piece as nearly as it can be on that of its neighbour.
  void fit_to(const Hinge& hinge) {
    std::vector<std::array<Vector2d, 2>> pairs;  // own point, where it belongs
    for (const TriangleSide& side : hinge.sides) {
      const TriangleSide own = side_of(hinge.child, side);
      pairs.push_back({flat_.start(own), flat_.end(side)});
      pairs.push_back({flat_.end(own), flat_.start(side)});
    }
    flat_.fit(hinge.child, pairs);
  }

  [[nodiscard]] Extent extent_of_placed() const {
    Extent all{Vector2d::Constant(std::numeric_limits<double>::max()),
               Vector2d::Constant(std::numeric_limits<double>::lowest())};
    for (int piece = 0; piece < flat_.topology().pieces; ++piece) {
      if (!placed_[static_cast<std::size_t>(piece)]) continue;
      const auto [low, high] = flat_.extent_of(piece);
      all = {all.first.cwiseMin(low), all.second.cwiseMax(high)};
    }
    return all;
  }
  /// Whether a piece lies on one placed before, or the other way round.
  [[nodiscard]] bool overlaps(int piece) const {
    for (int other = 0; other < flat_.topology().pieces; ++other)
      if (placed_[static_cast<std::size_t>(other)] && flat_.overlap(piece, other)) return true;
    return false;
  }

  /// The name of a floor stays on it. The name of a wall folded out up or down goes beyond its outer rim; of
  /// one folded out sideways above it, or below where the name of the piece it hangs on is above.
  void finish(int piece, const Vector2d& outward, const Vector2d& parents_name_side) {
    placed_[static_cast<std::size_t>(piece)] = 1;
    const auto [low, high] = flat_.extent_of(piece);
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
  FlatLayout flat_;
  double gap_;
  OpenedBox box_;
  std::vector<char> placed_;  ///< by piece
};

}  // namespace

OpenedBox open_box(const BondSurface& bond, double gap) {
  return Unfolding(bond, gap).run();
}

}  // namespace setstress
