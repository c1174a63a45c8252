#include "viz/bond_scene.hpp"

#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkLookupTable.h>
#include <vtkMatrix4x4.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "viz/surface_lines.hpp"

namespace setstress::viz {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

/// Position of a corner of a triangle in the view [mm].
using Placement = std::function<Vector3d(std::size_t triangle, std::size_t corner)>;

constexpr int colours_in_table = 2048;

vtkSmartPointer<vtkLookupTable> ratio_table(double top) {
  auto table = vtkSmartPointer<vtkLookupTable>::New();
  table->SetNumberOfTableValues(colours_in_table);
  table->SetRange(0, top);
  for (int i = 0; i < colours_in_table; ++i) {
    const Colour colour = ratio_colour(top * (i + 0.5) / colours_in_table, top);
    table->SetTableValue(i, colour[0], colour[1], colour[2], 1);
  }
  return table;
}

/// Unlit, so that colours are those of the bar; seen from inside only.
void add_actor(vtkRenderer* view, vtkPolyData* data, vtkLookupTable* table, const Colour& colour,
               double line_width) {
  vtkNew<vtkPolyDataMapper> mapper;
  mapper->SetInputData(data);
  if (table != nullptr) {
    mapper->SetLookupTable(table);
    mapper->UseLookupTableScalarRangeOn();
    mapper->InterpolateScalarsBeforeMappingOn();
  } else {
    mapper->ScalarVisibilityOff();
  }
  vtkNew<vtkActor> actor;
  actor->SetMapper(mapper);
  actor->GetProperty()->LightingOff();
  actor->GetProperty()->SetColor(colour[0], colour[1], colour[2]);
  actor->GetProperty()->SetLineWidth(static_cast<float>(line_width));
  actor->GetProperty()->BackfaceCullingOn();
  view->AddActor(actor);
}

void add_triangles(vtkRenderer* view, const BondSurface& bond, const Placement& place, Looks wanted,
                   vtkLookupTable* table, const Colour& colour) {
  const Eigen::MatrixXd& ratio = bond.point_field("stress_to_strength_ratio");
  const std::vector<Looks> looks = looks_of(bond);
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> cells;
  vtkNew<vtkFloatArray> values;
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    if (looks[t] != wanted) continue;
    cells->InsertNextCell(3);
    for (std::size_t c = 0; c < 3; ++c) {
      cells->InsertCellPoint(points->InsertNextPoint(place(t, c).data()));
      values->InsertNextValue(static_cast<float>(ratio(bond.triangles[t][c], 0)));
    }
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetPolys(cells);
  data->GetPointData()->SetScalars(values);
  add_actor(view, data, table, colour, 1);
}

/// Lines on triangles for which `shown` holds.
void add_lines(vtkRenderer* view, const std::vector<SurfaceLine>& lines, const Placement& place,
               const std::function<bool(std::size_t)>& shown, const Colour& colour, double line_width) {
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> cells;
  for (const SurfaceLine& line : lines) {
    if (!shown(line.triangle)) continue;
    cells->InsertNextCell(2);
    for (const Vector3d& end : line.ends) {
      Vector3d at = Vector3d::Zero();
      for (std::size_t c = 0; c < 3; ++c) at += end(static_cast<Eigen::Index>(c)) * place(line.triangle, c);
      cells->InsertCellPoint(points->InsertNextPoint(at.data()));
    }
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetLines(cells);
  add_actor(view, data, nullptr, colour, line_width);
}

const Colour let_go_colour = from_lch(86, 0, 0), line_colour = from_lch(8, 0, 0),
             joint_colour = from_lch(45, 0, 0);

/// Everything on the bond. `lifted` holds the lines a little off the surface.
void add_bond(Canvas& canvas, vtkRenderer* view, const BondSurface& bond, const OpenedBox& opened,
              const Placement& place, const Placement& lifted, const std::function<bool(std::size_t)>& shown,
              const BondLook& look) {
  const auto table = ratio_table(look.scale_top);
  add_triangles(view, bond, place, Looks::holding, table, {});
  add_triangles(view, bond, place, Looks::let_go, nullptr, let_go_colour);
  add_triangles(view, bond, place, Looks::not_filled, nullptr, canvas.paper());
  add_triangles(view, bond, place, Looks::losing, nullptr, ratio_colour(1, look.scale_top));
  add_lines(view, hatching(bond, opened, Looks::let_go, 0.12), lifted, shown, line_colour, 1.2 * look.pixel);
  add_lines(view, hatching(bond, opened, Looks::losing, 0.3), lifted, shown, line_colour, 1.2 * look.pixel);
  add_lines(view, increment_joints(bond), lifted, shown, joint_colour, 1.2 * look.pixel);
  add_lines(view, ratio_contour(bond, 1), lifted, shown, line_colour, 2.5 * look.pixel);
  const auto hidden = [&](std::size_t t) { return !shown(t); };
  add_lines(view, wall_outlines(bond), lifted, hidden, canvas.faint_ink(), look.pixel);
  add_lines(view, wall_outlines(bond), lifted, shown, line_colour, 2 * look.pixel);
}

Vector3d normal_of(const BondSurface& bond, std::size_t t) {
  const auto corner = [&](std::size_t c) {
    return bond.points[static_cast<std::size_t>(bond.triangles[t][c])];
  };
  return (corner(1) - corner(0)).cross(corner(2) - corner(0)).normalized();
}

Vector3d centre_of(const BondSurface& bond, std::size_t t) {
  Vector3d sum = Vector3d::Zero();
  for (const int corner : bond.triangles[t]) sum += bond.points[static_cast<std::size_t>(corner)];
  return sum / 3;
}

/// In the view, from -1 to 1 each way.
Vector2d project(vtkRenderer* view, double aspect, const Vector3d& point) {
  const std::array<double, 4> in{point.x(), point.y(), point.z(), 1};
  std::array<double, 4> out;
  view->GetActiveCamera()
      ->GetCompositeProjectionTransformMatrix(aspect, -1, 1)
      ->MultiplyPoint(in.data(), out.data());
  return {out[0] / out[3], out[1] / out[3]};
}

/// Zooms and shifts so that all points to keep fill the view, with room for names around them.
void fit(vtkRenderer* view, const Viewpoint& viewpoint, double aspect) {
  vtkCamera* camera = view->GetActiveCamera();
  for (int pass = 0; pass < 3; ++pass) {
    Vector2d low = Vector2d::Constant(1e9), high = -low;
    for (const Vector3d& point : viewpoint.keep_in_view) {
      low = low.cwiseMin(project(view, aspect, point));
      high = high.cwiseMax(project(view, aspect, point));
    }
    std::array<double, 2> centre;
    camera->GetWindowCenter(centre.data());
    camera->SetWindowCenter(centre[0] + (low.x() + high.x()) / 2, centre[1] + (low.y() + high.y()) / 2);
    camera->Zoom(1.8 / std::max(high.x() - low.x(), high.y() - low.y()));
  }
}

/// Names the parts of walls that face the eye, at their middles.
void name_walls(Canvas& canvas, vtkRenderer* view, const Box& box, const BondSurface& bond,
                const OpenedBox& opened, const std::function<bool(std::size_t)>& shown, double pixel) {
  for (std::size_t piece = 0; piece < opened.pieces.size(); ++piece) {
    Vector3d middle = Vector3d::Zero();
    double area = 0;
    for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
      if (opened.piece_of[t] != static_cast<int>(piece) || !shown(t)) continue;
      middle += bond.area(t) * centre_of(bond, t);
      area += bond.area(t);
    }
    if (area == 0) continue;
    const Vector2d at = project(view, box.width / box.height, middle / area);
    canvas.add_text(box.left + box.width * (1 + at.x()) / 2, box.bottom + box.height * (1 + at.y()) / 2,
                    bond.walls.at(static_cast<std::size_t>(opened.pieces[piece].wall)),
                    {.size = 14 * pixel, .align = Align::centre, .plate = true});
  }
}

}  // namespace

void draw_in_space(Canvas& canvas, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                   const Viewpoint& viewpoint, const BondLook& look) {
  vtkRenderer* view = canvas.add_view(box);
  const double reach = viewpoint.reach;
  const Vector3d eye = viewpoint.eye;
  vtkCamera* camera = view->GetActiveCamera();
  camera->SetFocalPoint(viewpoint.focus.data());
  camera->SetPosition(eye.data());
  camera->SetViewUp(0, 0, 1);
  camera->SetViewAngle(40);
  camera->SetClippingRange(0.5 * reach, 5 * reach);
  fit(view, viewpoint, box.width / box.height);
  const Placement place = [&](std::size_t t, std::size_t c) {
    return bond.points[static_cast<std::size_t>(bond.triangles[t][c])];
  };
  const Placement lifted = [&](std::size_t t, std::size_t c) -> Vector3d {
    return place(t, c) + 0.004 * (eye - place(t, c));
  };
  const auto shown = [&](std::size_t t) { return normal_of(bond, t).dot(eye - centre_of(bond, t)) > 0; };
  add_bond(canvas, view, bond, opened, place, lifted, shown, look);
  name_walls(canvas, view, box, bond, opened, shown, look.pixel);
}

void draw_opened(Canvas& canvas, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                 const std::array<Vector2d, 2>& extent, const BondLook& look) {
  vtkRenderer* view = canvas.add_view(box);
  const double margin = 34 * look.pixel;  // for the names
  const Vector2d size = extent[1] - extent[0], centre = (extent[0] + extent[1]) / 2;
  const double per_mm = std::min((box.width - 2 * margin) / size.x(), (box.height - 2 * margin) / size.y());
  vtkCamera* camera = view->GetActiveCamera();
  camera->ParallelProjectionOn();
  camera->SetFocalPoint(centre.x(), centre.y(), 0);
  camera->SetPosition(centre.x(), centre.y(), 10);
  camera->SetParallelScale(box.height / (2 * per_mm));
  camera->SetClippingRange(1, 20);
  const Placement place = [&](std::size_t t, std::size_t c) {
    return Vector3d(opened.corners[t][c].x(), opened.corners[t][c].y(), 0);
  };
  const Placement lifted = [&](std::size_t t, std::size_t c) -> Vector3d {
    return place(t, c) + 0.01 * Vector3d::UnitZ();
  };
  add_bond(
      canvas, view, bond, opened, place, lifted, [](std::size_t) { return true; }, look);
  for (const OpenedPiece& piece : opened.pieces) {
    const Vector2d at = per_mm * (piece.name_at - centre) + 14 * look.pixel * piece.name_side;
    canvas.add_text(box.middle_x() + at.x(), box.bottom + box.height / 2 + at.y(),
                    bond.walls.at(static_cast<std::size_t>(piece.wall)),
                    {.size = 17 * look.pixel, .align = Align::centre, .plate = piece.name_side.isZero()});
  }
  const double right = box.right() - 10 * look.pixel, bottom = box.bottom + 12 * look.pixel;
  canvas.add_line(right - per_mm, bottom, right, bottom, 3 * look.pixel, canvas.ink());
  canvas.add_text(right, bottom + 14 * look.pixel, "1 mm", {.size = 14 * look.pixel, .align = Align::right});
}

}  // namespace setstress::viz
