#include "viz/scenes/opened_vector.hpp"

#include <algorithm>

#include "viz/drawing/outlines.hpp"
#include "viz/scenes/scale_bar.hpp"

namespace setstress::viz {
namespace {

using Eigen::Vector2d;
constexpr double grid = 0.1;  ///< [pixels]: finer than any screen shows

using Polygons = std::vector<std::vector<FlatPoint>>;

/// Millimetres of the opened box to pixels of the page.
class Placing {
 public:
  Placing(const OpenedFrame& frame, const OpenedBox& opened) : frame_(frame), opened_(opened) {}
  [[nodiscard]] FlatPoint at(const Vector2d& point) const {
    const Vector2d place = frame_.middle + frame_.per_mm * (point - frame_.centre);
    return {place.x(), place.y()};
  }
  [[nodiscard]] FlatPoint corner(std::size_t triangle, std::size_t c) const {
    return at(opened_.corners[triangle][c]);
  }
  [[nodiscard]] std::vector<FlatPoint> line(const SurfaceLine& line) const {
    std::vector<FlatPoint> ends;
    for (const Eigen::Vector3d& end : line.ends) {
      Vector2d place = Vector2d::Zero();
      for (std::size_t c = 0; c < 3; ++c)
        place += end(static_cast<Eigen::Index>(c)) * opened_.corners[line.triangle][c];
      ends.push_back(at(place));
    }
    return ends;
  }
  [[nodiscard]] Polygons lines(const std::vector<SurfaceLine>& all) const {
    Polygons paths;
    for (const SurfaceLine& each : all) paths.push_back(line(each));
    return joined_lines(paths, grid);
  }

 private:
  const OpenedFrame& frame_;
  const OpenedBox& opened_;
};

/// The part of a triangle where the straight-line function with these corner values is at least `level`.
std::vector<FlatPoint> part_above(const std::array<FlatPoint, 3>& corner, const std::array<double, 3>& value,
                                  double level) {
  std::vector<FlatPoint> part;
  for (std::size_t a = 0; a < 3; ++a) {
    const std::size_t b = (a + 1) % 3;
    if (value[a] >= level) part.push_back(corner[a]);
    if ((value[a] >= level) == (value[b] >= level)) continue;
    // From the lower end, so that both triangles at a side find the same place.
    const std::size_t low = value[a] < value[b] ? a : b, high = low == a ? b : a;
    const double share = (level - value[low]) / (value[high] - value[low]);
    part.push_back({corner[low][0] + share * (corner[high][0] - corner[low][0]),
                    corner[low][1] + share * (corner[high][1] - corner[low][1])});
  }
  return part;
}

/// Where the bands begin, the mark among them.
std::vector<double> band_levels(const Scale& scale) {
  constexpr int bands = 20;
  std::vector<double> levels;
  const auto add = [&](double from, double to, int count) {
    for (int i = 0; i < count; ++i) levels.push_back(from + (to - from) * i / count);
  };
  if (scale.mark) {
    add(scale.low, *scale.mark, bands);
    add(*scale.mark, scale.top, bands / 2);
  } else {
    add(scale.low, scale.top, bands);
  }
  return levels;
}

bool coloured(Looks looks, BondField field) {
  return looks == Looks::holding || (field != BondField::ratio && looks != Looks::not_filled);
}

/// Each band is laid over the ones below it, so that no seams show between them.
void add_field(VectorPage& page, const BondSurface& bond, const Placing& placing, const BondLook& look) {
  const FieldSource source = source_of(look.field);
  const Eigen::MatrixXd& at_points = bond.point_field(source.array);
  const std::vector<Looks> looks = looks_of(bond);
  const std::vector<double> levels = band_levels(look.scale);
  for (std::size_t band = 0; band < levels.size(); ++band) {
    Polygons parts;
    for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
      if (!coloured(looks[t], look.field)) continue;
      std::array<double, 3> value;
      for (std::size_t c = 0; c < 3; ++c) value[c] = source.factor * at_points(bond.triangles[t][c], 0);
      const std::array<FlatPoint, 3> corners{placing.corner(t, 0), placing.corner(t, 1),
                                             placing.corner(t, 2)};
      auto part = part_above(corners, value, band == 0 ? -1e300 : levels[band]);
      if (part.size() >= 3) parts.push_back(std::move(part));
    }
    const double next = band + 1 < levels.size() ? levels[band + 1] : look.scale.top;
    page.add_polygons(outlines_of(parts, grid), look.scale.colour((levels[band] + next) / 2));
  }
}

/// Where the ratio means nothing any more.
void add_damage(VectorPage& page, const BondSurface& bond, const OpenedBox& opened, const Placing& placing,
                const BondLook& look, const Colour& ink) {
  const std::vector<Looks> looks = looks_of(bond);
  for (const Looks damage : {Looks::let_go, Looks::losing}) {
    Polygons parts;
    for (std::size_t t = 0; t < bond.triangles.size(); ++t)
      if (looks[t] == damage)
        parts.push_back({placing.corner(t, 0), placing.corner(t, 1), placing.corner(t, 2)});
    page.add_polygons(outlines_of(parts, grid), colour_of(damage));
    page.add_paths(placing.lines(hatching(bond, opened, damage, damage == Looks::let_go ? 0.12 : 0.3)),
                   1.2 * look.pixel, ink);
  }
}

}  // namespace

void draw_opened(VectorPage& page, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                 const std::array<Vector2d, 2>& extent, const BondLook& look) {
  const OpenedFrame frame = opened_frame(box, extent, look.pixel);
  const Placing placing(frame, opened);
  const Colour line = from_lch(8, 0, 0);
  const bool by_ratio = look.field == BondField::ratio;
  add_field(page, bond, placing, look);
  if (by_ratio) add_damage(page, bond, opened, placing, look, line);
  page.add_paths(placing.lines(increment_joints(bond)), 1.2 * look.pixel, from_lch(45, 0, 0));
  page.add_paths(placing.lines(gap_rims(bond)), 2.5 * look.pixel, line);
  page.add_paths(placing.lines(by_ratio ? ratio_contour(bond, 1) : debonding_front(bond)), 2.5 * look.pixel,
                 line);
  page.add_paths(placing.lines(wall_outlines(bond)), 2 * look.pixel, page.outline());
  add_opened_names(page, box, bond, opened, frame, look.pixel);
}

}  // namespace setstress::viz
