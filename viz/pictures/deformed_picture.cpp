#include <fmt/core.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "viz/pictures/body_sheet.hpp"
#include "viz/pictures/bond_state.hpp"
#include "viz/pictures/pictures.hpp"
#include "viz/scenes/actors.hpp"
#include "viz/surface/body_surface.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;
using viz::Box;
using viz::Canvas;

struct Body {
  VolumeCells volume;
  viz::BodySurface surface;
  Vector3d eye;  ///< direction towards the eye
};

/// From above and from the side on which the filling is open, a little turned so that three sides are seen.
Vector3d direction_to_eye(const ResultFrame& frame) {
  Vector3d eye(-0.45, -0.75, 0.6);
  if (!frame.bond.empty()) {
    const BondSurface bond = read_bond(frame.bond);
    const Viewpoint into = viewpoint_into({&bond});
    const Vector3d straight = into.eye - into.focus;
    eye = Eigen::AngleAxisd(0.45, Vector3d::UnitZ()) * Vector3d(straight.x(), straight.y(), 0).normalized();
    eye.z() = 0.7;
  }
  return eye.normalized();
}

Body read_body(const Result& result, std::size_t frame) {
  const ResultFrame& chosen = result.frames.at(frame);
  if (chosen.volume.empty())
    throw std::runtime_error(
        fmt::format("{} has no file of the volume at {} s", result.folder.string(), chosen.time));
  Body body;
  body.volume = read_volume(chosen.volume);
  body.surface = viz::surface_of(body.volume);
  body.eye = direction_to_eye(chosen);
  return body;
}

struct BodyLook {
  double magnification;
  viz::Scale scale;
};

Vector3d place_of(const Body& body, int node, double magnification) {
  return body.volume.points[static_cast<std::size_t>(node)] +
         magnification * body.volume.at_points.at("displacement").row(node).transpose();
}

void add_surface(vtkRenderer* view, const Body& body, const BodyLook& look) {
  const Eigen::MatrixXd& displacement = body.volume.at_points.at("displacement");
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> cells;
  vtkNew<vtkFloatArray> values;
  for (std::size_t node = 0; node < body.volume.points.size(); ++node) {
    points->InsertNextPoint(place_of(body, static_cast<int>(node), look.magnification).data());
    values->InsertNextValue(
        static_cast<float>(1000 * displacement.row(static_cast<Eigen::Index>(node)).norm()));
  }
  for (const std::array<int, 3>& triangle : body.surface.triangles) {
    cells->InsertNextCell(3);
    for (const int node : triangle) cells->InsertCellPoint(node);
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetPolys(cells);
  data->GetPointData()->SetScalars(values);
  viz::add_actor(view, data, viz::colour_table(look.scale), {}, 1, viz::Sides::both);
}

/// `lift` [mm] towards the eye, so that lines on a surface are seen.
void add_edges(vtkRenderer* view, const Body& body, double magnification, double lift, const Colour& colour,
               double line_width) {
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> cells;
  for (const std::array<int, 2>& edge : body.surface.edges) {
    cells->InsertNextCell(2);
    for (const int node : edge) {
      const Vector3d at = place_of(body, node, magnification) + lift * body.eye;
      cells->InsertCellPoint(points->InsertNextPoint(at.data()));
    }
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetLines(cells);
  viz::add_actor(view, data, nullptr, colour, line_width, viz::Sides::both);
}

/// Looks along `eye` with z up, without perspective; holds the body before and after.
void aim(vtkRenderer* view, const Box& box, const std::vector<Body>& bodies, const Vector3d& eye,
         double magnification) {
  const Vector3d right = Vector3d::UnitZ().cross(eye).normalized(), up = eye.cross(right);
  Vector2d low = Vector2d::Constant(1e9), high = -low;
  for (const Body& body : bodies)
    for (std::size_t node = 0; node < body.volume.points.size(); ++node)
      for (const double factor : {0.0, magnification}) {
        const Vector3d at = place_of(body, static_cast<int>(node), factor);
        low = low.cwiseMin(Vector2d(right.dot(at), up.dot(at)));
        high = high.cwiseMax(Vector2d(right.dot(at), up.dot(at)));
      }
  const Vector2d middle = (low + high) / 2, size = high - low;
  const Vector3d focus = middle.x() * right + middle.y() * up;
  const double reach = 10 * size.maxCoeff();
  const Vector3d position = focus + reach * eye;
  vtkCamera* camera = view->GetActiveCamera();
  camera->ParallelProjectionOn();
  camera->SetFocalPoint(focus.data());
  camera->SetPosition(position.data());
  camera->SetViewUp(0, 0, 1);
  camera->SetParallelScale(0.53 * std::max(size.y(), size.x() * box.height / box.width));
  camera->SetClippingRange(0.1 * reach, 2 * reach);
}

double displacement_top(const std::vector<Body>& bodies) {
  double largest = 0;
  for (const Body& body : bodies)
    largest = std::max(largest, body.volume.at_points.at("displacement").rowwise().norm().maxCoeff());
  return viz::round_up(std::max(1000 * largest, 1e-3));
}

BodyLook look_for(const std::vector<Body>& bodies, const DeformedOptions& options) {
  if (options.scale_top && !(*options.scale_top > 0))
    throw std::invalid_argument(fmt::format("the scale ends at {} µm; must be above 0", *options.scale_top));
  std::vector<const VolumeCells*> volumes;
  for (const Body& body : bodies) volumes.push_back(&body.volume);
  return {.magnification = options.magnification.value_or(viz::magnification_for(volumes)),
          .scale = viz::displacement_scale(options.scale_top.value_or(displacement_top(bodies)))};
}

/// All panels look from where the first does.
void draw_body(Canvas& canvas, const Box& box, const std::vector<Body>& bodies, std::size_t panel,
               const BodyLook& look, double pixel) {
  vtkRenderer* view = canvas.add_view(box);
  aim(view, box, bodies, bodies[0].eye, look.magnification);
  add_surface(view, bodies[panel], look);
  add_edges(view, bodies[panel], 0, 0, viz::before_line, pixel);
  add_edges(view, bodies[panel], look.magnification, 0.05, viz::surface_line, 2 * pixel);
}

}  // namespace

void draw_deformed(const std::vector<Result>& results, const std::vector<std::string>& names,
                   const std::filesystem::path& path, const DeformedOptions& options) {
  viz::require_sensible(options.width, options.height);
  viz::require_names(results, names, "a picture of the deformation");
  std::vector<Body> bodies;
  for (const Result& result : results)
    bodies.push_back(read_body(result, frame_for(result, options.time, options.moment)));
  const BodyLook look = look_for(bodies, options);
  viz::BodySheet sheet{
      .title = results.size() == 1 ? bodies[0].volume.title : "Deformation compared",
      .headings = {},
      .scale = look.scale,
      .beside_scale = {viz::name_of_factor(look.magnification), viz::name_of_thin_lines(look.magnification)},
      .width = options.width,
      .height = options.height,
      .background = options.background,
      .draw = [&](Canvas& canvas, const Box& box, std::size_t panel, double pixel) {
        draw_body(canvas, box, bodies, panel, look, pixel);
      }};
  for (std::size_t p = 0; p < bodies.size(); ++p) {
    const char* words = viz::words_for(results[p], frame_for(results[p], options.time, options.moment),
                                       options.time, options.moment);
    const std::string instant = fmt::format("{} {}", words, duration_text(bodies[p].volume.time));
    sheet.headings.push_back(viz::body_heading(
        names[p], instant, "the whole, coloured by how far each point has moved", results.size()));
  }
  viz::compose(sheet)->save(path);
}

}  // namespace setstress
