#include "viz/scenes/cut_names.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace setstress::viz {
namespace {

/// To the left, to the right and above; x points to distal, y to buccal, z to occlusal.
constexpr std::array<std::array<const char*, 3>, 3> sides{
    {{"lingual", "buccal", "occlusal"}, {"mesial", "distal", "occlusal"}, {"mesial", "distal", "buccal"}}};

bool is_tooth(const VolumeCells& volume) {
  return std::ranges::any_of(volume.regions,
                             [](const std::string& name) { return name == "enamel" || name == "dentin"; });
}

double distance(const FlatPoint& point, const std::array<FlatPoint, 2>& line) {
  const double dx = line[1][0] - line[0][0], dy = line[1][1] - line[0][1];
  const double square = dx * dx + dy * dy;
  const double along = (point[0] - line[0][0]) * dx + (point[1] - line[0][1]) * dy;
  const double share = square > 0 ? std::clamp(along / square, 0.0, 1.0) : 0;
  return std::hypot(point[0] - line[0][0] - share * dx, point[1] - line[0][1] - share * dy);
}

/// The smaller of what is free to the left and to the right of the cut [pixels].
double room_beside(const Box& box, const PlaneCut& cut,
                   const std::function<FlatPoint(const CutCorner&)>& place) {
  double room = box.width;
  for (const CutLine& line : cut.lines)
    for (const CutCorner& end : line.ends) {
      const double x = place(end)[0];
      room = std::min({room, x - box.left, box.right() - x});
    }
  return room;
}

struct Widest {
  FlatPoint at{};
  double clear = 0;  ///< of lines around it [pixels]
};

/// By region, the middle of the triangle farthest from all lines.
std::map<int, Widest> widest_places(const VolumeCells& volume, const PlaneCut& cut,
                                    const std::function<FlatPoint(const CutCorner&)>& place) {
  std::vector<std::array<FlatPoint, 2>> lines;
  for (const CutLine& line : cut.lines) lines.push_back({place(line.ends[0]), place(line.ends[1])});
  const Eigen::MatrixXd& region = volume.of_cells.at("region");
  std::map<int, Widest> widest;
  for (const CutTriangle& triangle : cut.triangles) {
    FlatPoint middle{};
    for (const CutCorner& corner : triangle.corners)
      for (std::size_t i = 0; i < 2; ++i) middle[i] += place(corner)[i] / 3;
    Widest& best = widest[static_cast<int>(region(static_cast<Eigen::Index>(triangle.tetrahedron), 0))];
    double clear = 1e9;
    for (const auto& line : lines) {
      clear = std::min(clear, distance(middle, line));
      if (clear <= best.clear) break;
    }
    if (clear > best.clear) best = {middle, clear};
  }
  return widest;
}

}  // namespace

void add_cut_names(Drawing& drawing, const Box& box, const VolumeCells& volume, const PlaneCut& cut,
                   const std::function<FlatPoint(const CutCorner&)>& place, double pixel) {
  const double size = 14 * pixel;
  for (const auto& [region, widest] : widest_places(volume, cut, place))
    if (2 * widest.clear > 1.3 * size)
      drawing.add_text(widest.at[0], widest.at[1], volume.regions.at(static_cast<std::size_t>(region)),
                       {.size = size, .align = Align::centre, .plate = true});
  if (!is_tooth(volume)) return;
  const auto& [left, right, above] = sides.at(static_cast<std::size_t>(cut.axis));
  // Beside the body where there is room, else in the line above it.
  const double top = box.top() - 0.7 * size;
  const double level = room_beside(box, cut, place) > text_width(left, {.size = 1.2 * size})
                           ? box.bottom + box.height / 2
                           : top;
  drawing.add_text(box.left, level, left, {.size = size, .bold = true});
  drawing.add_text(box.right(), level, right, {.size = size, .align = Align::right, .bold = true});
  drawing.add_text(box.middle_x(), top, above, {.size = size, .align = Align::centre, .bold = true});
}

}  // namespace setstress::viz
