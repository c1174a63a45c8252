#include "viz/scenes/cut_scene.hpp"

#include <fmt/core.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "viz/scenes/actors.hpp"
#include "viz/scenes/cut_names.hpp"

namespace setstress::viz {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

/// Where corners of a cut lie on the page: the plane's axes, right and up, with the displacement magnified.
class Layout {
 public:
  Layout(const CutScene& scene, double magnification)
      : scene_(scene),
        displacement_(scene.volume.at_points.at("displacement")),
        magnification_(magnification) {}
  [[nodiscard]] Vector2d at(const CutCorner& corner) const {
    Vector3d place = Vector3d::Zero();
    for (std::size_t n = 0; n < 2; ++n) {
      const int node = corner.nodes[n];
      const double weight = n == 1 ? corner.share : 1 - corner.share;
      place += weight * (scene_.volume.points[static_cast<std::size_t>(node)] +
                         magnification_ * displacement_.row(node).transpose());
    }
    // Seen against the axis, so that z is up; for a level cut x is to the right and y up.
    if (scene_.cut.axis == 0) return {place.y(), place.z()};
    if (scene_.cut.axis == 1) return {place.x(), place.z()};
    return {place.x(), place.y()};
  }

 private:
  const CutScene& scene_;
  const Eigen::MatrixXd& displacement_;
  double magnification_;
};

/// Triangles with a value at their corners, or (`valued` false) those without.
void add_triangles(vtkRenderer* view, const CutScene& scene, const Layout& layout, const Scale& scale,
                   bool valued) {
  const Eigen::MatrixXd& region = scene.volume.of_cells.at("region");
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> cells;
  vtkNew<vtkFloatArray> values;
  for (const CutTriangle& triangle : scene.cut.triangles) {
    const int own = static_cast<int>(region(static_cast<Eigen::Index>(triangle.tetrahedron), 0));
    if (scene.values.contains({own, triangle.corners[0].nodes[0]}) != valued) continue;
    cells->InsertNextCell(3);
    for (const CutCorner& corner : triangle.corners) {
      const Vector2d at = layout.at(corner);
      cells->InsertCellPoint(points->InsertNextPoint(at.x(), at.y(), 0));
      if (valued)
        values->InsertNextValue(
            static_cast<float>((1 - corner.share) * scene.values.at({own, corner.nodes[0]}) +
                               corner.share * scene.values.at({own, corner.nodes[1]})));
    }
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetPolys(cells);
  if (valued) data->GetPointData()->SetScalars(values);
  add_actor(view, data, valued ? colour_table(scale).GetPointer() : nullptr, from_lch(88, 3, 90), 1,
            Sides::both);
}

void add_outlines(vtkRenderer* view, const CutScene& scene, const Layout& layout, double height,
                  const Colour& colour, double line_width) {
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> cells;
  for (const CutLine& line : scene.cut.lines) {
    cells->InsertNextCell(2);
    for (const CutCorner& end : line.ends) {
      const Vector2d at = layout.at(end);
      cells->InsertCellPoint(points->InsertNextPoint(at.x(), at.y(), height));
    }
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetLines(cells);
  add_actor(view, data, nullptr, colour, line_width, Sides::both);
}

/// Without the entries of tooth and fixtures.
RegionNodeValues of_filling(const VolumeCells& volume, const RegionNodeValues& values) {
  const Eigen::MatrixXd &region = volume.of_cells.at("region"), &increment = volume.of_cells.at("increment");
  std::vector<char> filling(volume.regions.size(), 0);
  for (Eigen::Index t = 0; t < region.rows(); ++t)
    filling.at(static_cast<std::size_t>(region(t, 0))) = increment(t, 0) > 0 ? 1 : 0;
  RegionNodeValues kept;
  for (const auto& [key, value] : values)
    if (filling[static_cast<std::size_t>(key.first)] != 0) kept.emplace_hint(kept.end(), key, value);
  return kept;
}

}  // namespace

CutScene make_cut_scene(const Result& result, std::size_t frame, CutField field, int axis,
                        std::optional<double> position) {
  const ResultFrame& chosen = result.frames.at(frame);
  if (chosen.volume.empty())
    throw std::runtime_error(
        fmt::format("{} has no file of the volume at {} s", result.folder.string(), chosen.time));
  CutScene scene;
  scene.volume = read_volume(chosen.volume);
  scene.cut = cut(scene.volume, axis, position.value_or(middle_of_filling(scene.volume, axis)));
  if (field == CutField::principal_stress)
    scene.values = smooth_by_region(scene.volume, scene.volume.of_cells.at("principal_stress").col(0));
  else
    scene.values = of_filling(
        scene.volume, smooth_by_region(scene.volume, 100 * scene.volume.of_cells.at("conversion").col(0)));
  return scene;
}

double magnification_for(const std::vector<const VolumeCells*>& volumes) {
  double largest = 0, size = 0;
  for (const VolumeCells* volume : volumes) {
    largest = std::max(largest, volume->at_points.at("displacement").rowwise().norm().maxCoeff());
    Vector3d low = volume->points.front(), high = low;
    for (const Vector3d& point : volume->points) {
      low = low.cwiseMin(point);
      high = high.cwiseMax(point);
    }
    size = std::max(size, (high - low).maxCoeff());
  }
  if (largest <= 0) return 1;
  const double wanted = 0.05 * size / largest, decade = std::pow(10, std::floor(std::log10(wanted)));
  return decade * (wanted >= 5 * decade ? 5 : wanted >= 2 * decade ? 2 : 1);
}

Extent extent_of(const std::vector<const CutScene*>& scenes, double magnification) {
  Extent extent{Vector2d::Constant(1e9), Vector2d::Constant(-1e9)};
  for (const CutScene* scene : scenes)
    for (const double factor : {0.0, magnification}) {
      const Layout layout(*scene, factor);
      for (const CutTriangle& triangle : scene->cut.triangles)
        for (const CutCorner& corner : triangle.corners) {
          extent[0] = extent[0].cwiseMin(layout.at(corner));
          extent[1] = extent[1].cwiseMax(layout.at(corner));
        }
    }
  return extent;
}

std::string name_of_cut(const PlaneCut& cut) {
  constexpr std::array<const char*, 3> names{"bucco-lingual cut at x", "mesio-distal cut at y",
                                             "level cut at z"};
  return fmt::format("{} = {:.2f} mm", names[static_cast<std::size_t>(cut.axis)], cut.position);
}

std::string name_of_factor(double magnification) {
  return magnification == 0 ? std::string("not deformed")
                            : fmt::format("deformation magnified {:g} times", magnification);
}

std::string name_of_thin_lines(double magnification) {
  return magnification == 0 ? std::string() : std::string("thin lines: before");
}

void draw_cut_scene(Canvas& canvas, const Box& box, const CutScene& scene, const CutLook& look) {
  vtkRenderer* view = canvas.add_view(box);
  const Vector2d centre = (look.extent[0] + look.extent[1]) / 2, size = look.extent[1] - look.extent[0];
  const double per_mm = 0.9 * std::min(box.width / size.x(), box.height / size.y());
  vtkCamera* camera = view->GetActiveCamera();
  camera->ParallelProjectionOn();
  camera->SetFocalPoint(centre.x(), centre.y(), 0);
  camera->SetPosition(centre.x(), centre.y(), 10);
  camera->SetParallelScale(box.height / (2 * per_mm));
  camera->SetClippingRange(1, 20);
  const Layout deformed(scene, look.magnification), undeformed(scene, 0);
  add_triangles(view, scene, deformed, look.scale, false);
  add_triangles(view, scene, deformed, look.scale, true);
  add_outlines(view, scene, undeformed, 0.01, before_line, look.pixel);
  add_outlines(view, scene, deformed, 0.02, surface_line, 2 * look.pixel);
  add_cut_names(
      canvas, box, scene.volume, scene.cut,
      [&](const CutCorner& corner) -> FlatPoint {
        const Vector2d at = per_mm * (deformed.at(corner) - centre);
        return {box.middle_x() + at.x(), box.bottom + box.height / 2 + at.y()};
      },
      look.pixel);
  const double right = box.right() - 10 * look.pixel, bottom = box.bottom + 12 * look.pixel;
  canvas.add_line(right - per_mm, bottom, right, bottom, 3 * look.pixel, canvas.ink());
  canvas.add_text(right, bottom + 14 * look.pixel, "1 mm", {.size = 14 * look.pixel, .align = Align::right});
}

}  // namespace setstress::viz
