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
  const double middle = box.bottom + box.height / 2;
  drawing.add_text(box.left, middle, left, {.size = size, .bold = true, .plate = true});
  drawing.add_text(box.right(), middle, right,
                   {.size = size, .align = Align::right, .bold = true, .plate = true});
  drawing.add_text(box.middle_x(), box.top() - 0.7 * size, above,
                   {.size = size, .align = Align::centre, .bold = true, .plate = true});
}

}  // namespace setstress::viz
