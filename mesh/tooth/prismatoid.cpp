#include "mesh/tooth/prismatoid.hpp"

#include <gmsh.h>

namespace setstress {
namespace {

namespace occ = gmsh::model::occ;

std::vector<int> add_points(const Level& level) {
  std::vector<int> points;
  for (const Eigen::Vector2d& corner : level.corners)
    points.push_back(occ::addPoint(corner.x(), corner.y(), level.z));
  return points;
}

std::vector<int> add_outline(const std::vector<int>& points) {
  std::vector<int> lines;
  for (std::size_t i = 0; i < points.size(); ++i)
    lines.push_back(occ::addLine(points[i], points[(i + 1) % points.size()]));
  return lines;
}

int add_face(const std::vector<int>& lines) {
  return occ::addPlaneSurface({occ::addCurveLoop(lines)});
}

}  // namespace

int add_prismatoid(const std::vector<Level>& levels) {
  std::vector<std::vector<int>> points, outlines;
  for (const Level& level : levels) {
    points.push_back(add_points(level));
    outlines.push_back(add_outline(points.back()));
  }
  std::vector<int> faces{add_face(outlines.front()), add_face(outlines.back())};
  for (std::size_t level = 0; level + 1 < levels.size(); ++level) {
    const std::size_t sides = points[level].size();
    std::vector<int> risers;
    for (std::size_t i = 0; i < sides; ++i)
      risers.push_back(occ::addLine(points[level][i], points[level + 1][i]));
    for (std::size_t i = 0; i < sides; ++i)
      faces.push_back(
          add_face({outlines[level][i], risers[(i + 1) % sides], outlines[level + 1][i], risers[i]}));
  }
  return occ::addVolume({occ::addSurfaceLoop(faces, -1, /*sewing=*/true)});
}

}  // namespace setstress
