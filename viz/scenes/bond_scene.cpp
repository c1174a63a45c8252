#include "viz/scenes/bond_scene.hpp"

#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkMatrix4x4.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "viz/scenes/actors.hpp"
#include "viz/scenes/rim_names.hpp"
#include "viz/scenes/scale_bar.hpp"
#include "viz/surface/surface_lines.hpp"

namespace setstress::viz {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;

/// Position of a corner of a triangle in the view [mm].
using Placement = std::function<Vector3d(std::size_t triangle, std::size_t corner)>;

/// Triangles that look `wanted`, coloured by the field or, where `table` is null, in one colour.
void add_triangles(vtkRenderer* view, const BondSurface& bond, const Placement& place, Looks wanted,
                   BondField field, vtkLookupTable* table, const Colour& colour) {
  const FieldSource source = source_of(field);
  const Eigen::MatrixXd& at_points = bond.point_field(source.array);
  const std::vector<Looks> looks = looks_of(bond);
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> cells;
  vtkNew<vtkFloatArray> values;
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    if (looks[t] != wanted) continue;
    cells->InsertNextCell(3);
    for (std::size_t c = 0; c < 3; ++c) {
      cells->InsertCellPoint(points->InsertNextPoint(place(t, c).data()));
      values->InsertNextValue(static_cast<float>(source.factor * at_points(bond.triangles[t][c], 0)));
    }
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetPolys(cells);
  data->GetPointData()->SetScalars(values);
  add_actor(view, data, table, colour, 1, Sides::front);
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
  add_actor(view, data, nullptr, colour, line_width, Sides::front);
}

const Colour joint_colour = from_lch(45, 0, 0);

/// The ratio means nothing where the bond is losing strength or has let go: there it is hatched instead.
void add_damage(vtkRenderer* view, const BondSurface& bond, const OpenedBox& opened, const Placement& place,
                const Placement& lifted, const std::function<bool(std::size_t)>& shown,
                const BondLook& look) {
  for (const Looks damage : {Looks::let_go, Looks::losing}) {
    add_triangles(view, bond, place, damage, look.field, nullptr, colour_of(damage));
    add_lines(view, hatching(bond, opened, damage, damage == Looks::let_go ? 0.12 : 0.3), lifted, shown,
              surface_line, 1.2 * look.pixel);
  }
}

/// Everything on the bond. `lifted` holds the lines a little off the surface.
void add_bond(Canvas& canvas, vtkRenderer* view, const BondSurface& bond, const OpenedBox& opened,
              const Placement& place, const Placement& lifted, const std::function<bool(std::size_t)>& shown,
              const BondLook& look) {
  const auto table = colour_table(look.scale);
  const bool by_ratio = look.field == BondField::ratio;
  add_triangles(view, bond, place, Looks::holding, look.field, table, {});
  add_triangles(view, bond, place, Looks::not_filled, look.field, nullptr, canvas.paper());
  if (by_ratio) {
    add_damage(view, bond, opened, place, lifted, shown, look);
  } else {
    add_triangles(view, bond, place, Looks::losing, look.field, table, {});
    add_triangles(view, bond, place, Looks::let_go, look.field, table, {});
  }
  add_lines(view, increment_joints(bond), lifted, shown, joint_colour, 1.2 * look.pixel);
  add_lines(view, gap_rims(bond), lifted, shown, surface_line, 2.5 * look.pixel);
  add_lines(view, by_ratio ? ratio_contour(bond, 1) : debonding_front(bond), lifted, shown, surface_line,
            2.5 * look.pixel);
  const auto hidden = [&](std::size_t t) { return !shown(t); };
  add_lines(view, wall_outlines(bond), lifted, hidden, canvas.faint_ink(), look.pixel);
  add_lines(view, wall_outlines(bond), lifted, shown, canvas.outline(), 2 * look.pixel);
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
    if (!opened.pieces[piece].named) continue;
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

OpenedFrame opened_frame(const Box& box, const std::array<Vector2d, 2>& extent, double pixel) {
  const double beside = 95 * pixel, above = 50 * pixel;  // for the names
  const Vector2d size = extent[1] - extent[0];
  return {.centre = (extent[0] + extent[1]) / 2,
          .middle = {box.middle_x(), box.bottom + box.height / 2},
          .per_mm = std::min((box.width - 2 * beside) / size.x(), (box.height - 2 * above) / size.y())};
}

namespace {

/// Of each gap, where it lies: the triangle in the middle of its largest part on one wall.
std::map<int, Vector2d> gap_middles(const BondSurface& bond, const OpenedBox& opened) {
  const auto number = bond.of_cells.find("gap_number");
  if (number == bond.of_cells.end()) return {};
  struct Part {
    double area = 0;
    Vector2d moment = Vector2d::Zero();
    std::vector<Vector2d> centres{};
  };
  std::map<int, std::map<int, Part>> parts;  // by number and piece
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    const int own = static_cast<int>(number->second(static_cast<Eigen::Index>(t), 0));
    if (own == 0) continue;
    Part& part = parts[own][opened.piece_of[t]];
    const Vector2d centre = (opened.corners[t][0] + opened.corners[t][1] + opened.corners[t][2]) / 3;
    part.area += bond.area(t);
    part.moment += bond.area(t) * centre;
    part.centres.push_back(centre);
  }
  std::map<int, Vector2d> middles;
  for (const auto& [gap, by_piece] : parts) {
    const Part& largest =
        std::ranges::max_element(by_piece, {}, [](const auto& each) { return each.second.area; })->second;
    const Vector2d middle = largest.moment / largest.area;
    middles[gap] = *std::ranges::min_element(
        largest.centres, {}, [&](const Vector2d& centre) { return (centre - middle).squaredNorm(); });
  }
  return middles;
}

void add_gap_numbers(Drawing& drawing, const BondSurface& bond, const OpenedBox& opened,
                     const OpenedFrame& frame, double pixel) {
  for (const auto& [number, middle] : gap_middles(bond, opened)) {
    const Vector2d at = frame.middle + frame.per_mm * (middle - frame.centre);
    drawing.add_text(at.x(), at.y() - 24 * pixel, std::to_string(number),  // clear of a wall's name
                     {.size = 15 * pixel, .align = Align::centre, .bold = true, .plate = true});
  }
}

}  // namespace

void add_opened_names(Drawing& drawing, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                      const OpenedFrame& frame, double pixel) {
  for (const OpenedPiece& piece : opened.pieces) {
    if (!piece.named) continue;
    const Vector2d at =
        frame.middle + frame.per_mm * (piece.name_at - frame.centre) + 14 * pixel * piece.name_side;
    drawing.add_text(at.x(), at.y(), bond.walls.at(static_cast<std::size_t>(piece.wall)),
                     {.size = 17 * pixel, .align = Align::centre, .plate = piece.name_side.isZero()});
  }
  for (const RimName& rim : rim_names(bond, opened)) {
    const bool level = std::abs(rim.side.x()) > 0.7;
    const Vector2d& taken = opened.pieces[static_cast<std::size_t>(rim.piece)].name_side;
    const double off = level ? 8 : taken.dot(rim.side) > 0.5 ? 34 : 13;
    const Vector2d at =
        frame.middle + frame.per_mm * (rim.at - frame.centre) +
        off * pixel *
            (level ? Vector2d(rim.side.x() > 0 ? 1 : -1, 0) : Vector2d(0, rim.side.y() > 0 ? 1 : -1));
    drawing.add_text(at.x(), at.y(), rim.text,
                     {.size = 14 * pixel,
                      .align = !level             ? Align::centre
                               : rim.side.x() > 0 ? Align::left
                                                  : Align::right,
                      .faint = true});
  }
  add_gap_numbers(drawing, bond, opened, frame, pixel);
  const double right = box.right() - 10 * pixel, bottom = box.bottom + 12 * pixel;
  drawing.add_line(right - frame.per_mm, bottom, right, bottom, 3 * pixel, drawing.ink());
  drawing.add_text(right, bottom + 14 * pixel, "1 mm", {.size = 14 * pixel, .align = Align::right});
}

void draw_opened(Canvas& canvas, const Box& box, const BondSurface& bond, const OpenedBox& opened,
                 const std::array<Vector2d, 2>& extent, const BondLook& look) {
  vtkRenderer* view = canvas.add_view(box);
  const OpenedFrame frame = opened_frame(box, extent, look.pixel);
  vtkCamera* camera = view->GetActiveCamera();
  camera->ParallelProjectionOn();
  camera->SetFocalPoint(frame.centre.x(), frame.centre.y(), 0);
  camera->SetPosition(frame.centre.x(), frame.centre.y(), 10);
  camera->SetParallelScale(box.height / (2 * frame.per_mm));
  camera->SetClippingRange(1, 20);
  const Placement place = [&](std::size_t t, std::size_t c) {
    return Vector3d(opened.corners[t][c].x(), opened.corners[t][c].y(), 0);
  };
  const Placement lifted = [&](std::size_t t, std::size_t c) -> Vector3d {
    return place(t, c) + 0.01 * Vector3d::UnitZ();
  };
  add_bond(
      canvas, view, bond, opened, place, lifted, [](std::size_t) { return true; }, look);
  add_opened_names(canvas, box, bond, opened, frame, look.pixel);
}

}  // namespace setstress::viz
