#include <fmt/core.h>
#include <vtkActor.h>
#include <vtkCamera.h>
#include <vtkCellArray.h>
#include <vtkFloatArray.h>
#include <vtkLookupTable.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

#include "viz/bond_sheet.hpp"
#include "viz/bond_state.hpp"
#include "viz/pictures.hpp"
#include "viz/plane_cut.hpp"
#include "viz/vtk_files.hpp"

namespace setstress {
namespace {

using Eigen::Vector2d;
using Eigen::Vector3d;
using viz::Align;
using viz::Box;
using viz::Canvas;

/// One cut with what is drawn on it.
struct CutPanel {
  VolumeCells volume;
  PlaneCut cut;
  RegionNodeValues stress;  ///< largest principal [MPa]
  std::string heading;
};

CutPanel make_panel(const Result& result, const CutOptions& options) {
  const std::size_t frame = options.time ? frame_at(result, *options.time) : result.frames.size() - 1;
  if (result.frames[frame].volume.empty())
    throw std::runtime_error(fmt::format("{} has no file of the volume at {} s", result.folder.string(),
                                         result.frames[frame].time));
  CutPanel panel;
  panel.volume = read_volume(result.frames[frame].volume);
  panel.cut = cut(panel.volume, options.axis,
                  options.position.value_or(middle_of_filling(panel.volume, options.axis)));
  panel.stress = smooth_by_region(panel.volume, panel.volume.of_cells.at("principal_stress").col(0));
  panel.heading = fmt::format("{} {}", options.time ? "At" : "At the end:", spoken_time(panel.volume.time));
  return panel;
}

/// Where corners of a cut lie on the page: the plane's axes, right and up, with the displacement magnified.
class Layout {
 public:
  Layout(const CutPanel& panel, double magnification)
      : panel_(panel),
        displacement_(panel.volume.at_points.at("displacement")),
        magnification_(magnification) {}
  [[nodiscard]] Vector2d at(const CutCorner& corner) const {
    Vector3d place = Vector3d::Zero();
    for (std::size_t n = 0; n < 2; ++n) {
      const int node = corner.nodes[n];
      const double weight = n == 1 ? corner.share : 1 - corner.share;
      place += weight * (panel_.volume.points[static_cast<std::size_t>(node)] +
                         magnification_ * displacement_.row(node).transpose());
    }
    // Seen against the axis, so that z is up; for a level cut x is to the right and y up.
    if (panel_.cut.axis == 0) return {place.y(), place.z()};
    if (panel_.cut.axis == 1) return {place.x(), place.z()};
    return {place.x(), place.y()};
  }

 private:
  const CutPanel& panel_;
  const Eigen::MatrixXd& displacement_;
  double magnification_;
};

std::array<Vector2d, 2> extent_of(const CutPanel& panel, const Layout& layout) {
  std::array<Vector2d, 2> extent{Vector2d::Constant(1e9), Vector2d::Constant(-1e9)};
  for (const CutTriangle& triangle : panel.cut.triangles)
    for (const CutCorner& corner : triangle.corners) {
      extent[0] = extent[0].cwiseMin(layout.at(corner));
      extent[1] = extent[1].cwiseMax(layout.at(corner));
    }
  return extent;
}

/// A round factor that shows the largest displacement as a twentieth of the tooth; 1 when nothing moves.
double magnification_for(const std::vector<CutPanel>& panels) {
  double largest = 0, size = 0;
  for (const CutPanel& panel : panels) {
    const Eigen::MatrixXd& displacement = panel.volume.at_points.at("displacement");
    largest = std::max(largest, displacement.rowwise().norm().maxCoeff());
    const auto extent = extent_of(panel, Layout(panel, 0));
    size = std::max(size, (extent[1] - extent[0]).maxCoeff());
  }
  if (largest <= 0) return 1;
  const double wanted = 0.05 * size / largest, decade = std::pow(10, std::floor(std::log10(wanted)));
  return decade * (wanted >= 5 * decade ? 5 : wanted >= 2 * decade ? 2 : 1);
}

/// Above the highest fiftieth of the cut, which belongs to re-entrant edges; a round number [MPa].
double stress_top_for(const std::vector<CutPanel>& panels) {
  std::vector<std::array<double, 2>> values;
  for (const CutPanel& panel : panels)
    for (const CutTriangle& triangle : panel.cut.triangles)
      values.push_back(
          {panel.volume.of_cells.at("principal_stress")(static_cast<Eigen::Index>(triangle.tetrahedron), 0),
           1});
  const double high = std::max(weighted_percentile(std::move(values), 0.98), 1.0);
  const double decade = std::pow(10, std::floor(std::log10(high)));
  constexpr std::array<double, 9> rounds{1, 1.2, 1.6, 2, 2.4,
                                         3, 4,   6,   8};  // whose quarters are short numbers
  const auto* enough = std::ranges::find_if(rounds, [&](double each) { return each * decade >= high; });
  return decade * (enough == rounds.end() ? 10 : *enough);
}

vtkSmartPointer<vtkLookupTable> stress_table(double top) {
  constexpr int count = 1200;
  auto table = vtkSmartPointer<vtkLookupTable>::New();
  table->SetNumberOfTableValues(count);
  table->SetRange(-0.2 * top, top);
  for (int i = 0; i < count; ++i) {
    const Colour colour = stress_colour(-0.2 * top + 1.2 * top * (i + 0.5) / count, top);
    table->SetTableValue(i, colour[0], colour[1], colour[2], 1);
  }
  return table;
}

void add_actor(vtkRenderer* view, vtkPolyData* data, vtkLookupTable* table, const Colour& colour,
               double line_width) {
  vtkNew<vtkPolyDataMapper> mapper;
  mapper->SetInputData(data);
  mapper->SetScalarVisibility(table != nullptr);
  if (table != nullptr) {
    mapper->SetLookupTable(table);
    mapper->UseLookupTableScalarRangeOn();
    mapper->InterpolateScalarsBeforeMappingOn();
  }
  vtkNew<vtkActor> actor;
  actor->SetMapper(mapper);
  actor->GetProperty()->LightingOff();
  actor->GetProperty()->SetColor(colour[0], colour[1], colour[2]);
  actor->GetProperty()->SetLineWidth(static_cast<float>(line_width));
  view->AddActor(actor);
}

void add_stress(vtkRenderer* view, const CutPanel& panel, const Layout& layout, double top) {
  const Eigen::MatrixXd& region = panel.volume.of_cells.at("region");
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> cells;
  vtkNew<vtkFloatArray> values;
  for (const CutTriangle& triangle : panel.cut.triangles) {
    const int own = static_cast<int>(region(static_cast<Eigen::Index>(triangle.tetrahedron), 0));
    cells->InsertNextCell(3);
    for (const CutCorner& corner : triangle.corners) {
      const Vector2d at = layout.at(corner);
      cells->InsertCellPoint(points->InsertNextPoint(at.x(), at.y(), 0));
      values->InsertNextValue(
          static_cast<float>((1 - corner.share) * panel.stress.at({own, corner.nodes[0]}) +
                             corner.share * panel.stress.at({own, corner.nodes[1]})));
    }
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetPolys(cells);
  data->GetPointData()->SetScalars(values);
  add_actor(view, data, stress_table(top), {}, 1);
}

void add_outlines(vtkRenderer* view, const CutPanel& panel, const Layout& layout, double height,
                  const Colour& colour, double line_width) {
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> cells;
  for (const CutLine& line : panel.cut.lines) {
    cells->InsertNextCell(2);
    for (const CutCorner& end : line.ends) {
      const Vector2d at = layout.at(end);
      cells->InsertCellPoint(points->InsertNextPoint(at.x(), at.y(), height));
    }
  }
  vtkNew<vtkPolyData> data;
  data->SetPoints(points);
  data->SetLines(cells);
  add_actor(view, data, nullptr, colour, line_width);
}

struct CutLook {
  std::array<Vector2d, 2> extent;
  double magnification, stress_top, pixel;
};

void draw_cut_panel(Canvas& canvas, const Box& box, const CutPanel& panel, const CutLook& look) {
  vtkRenderer* view = canvas.add_view(box);
  const Vector2d centre = (look.extent[0] + look.extent[1]) / 2, size = look.extent[1] - look.extent[0];
  const double per_mm = 0.9 * std::min(box.width / size.x(), box.height / size.y());
  vtkCamera* camera = view->GetActiveCamera();
  camera->ParallelProjectionOn();
  camera->SetFocalPoint(centre.x(), centre.y(), 0);
  camera->SetPosition(centre.x(), centre.y(), 10);
  camera->SetParallelScale(box.height / (2 * per_mm));
  camera->SetClippingRange(1, 20);
  const Layout deformed(panel, look.magnification), undeformed(panel, 0);
  add_stress(view, panel, deformed, look.stress_top);
  add_outlines(view, panel, undeformed, 0.01, canvas.faint_ink(), look.pixel);
  add_outlines(view, panel, deformed, 0.02, canvas.ink(), 2 * look.pixel);
  const double right = box.right() - 10 * look.pixel, bottom = box.bottom + 12 * look.pixel;
  canvas.add_line(right - per_mm, bottom, right, bottom, 3 * look.pixel, canvas.ink());
  canvas.add_text(right, bottom + 14 * look.pixel, "1 mm", {.size = 14 * look.pixel, .align = Align::right});
}

void draw_stress_bar(Canvas& canvas, const Box& box, const CutLook& look) {
  const double unit = look.pixel, middle = box.bottom + box.height / 2, top = look.stress_top;
  canvas.add_text(box.left, middle + 9 * unit, "largest principal stress [MPa]",
                  {.size = 17 * unit, .bold = true});
  canvas.add_text(box.left, middle - 11 * unit, "tension positive; grey: pressed from all sides",
                  {.size = 13 * unit, .faint = true});
  const Box bar{box.left + 330 * unit, middle - 8 * unit, 560 * unit, 20 * unit};
  constexpr int steps = 240;
  const auto place = [&](double stress) { return bar.left + bar.width * (stress / top + 0.2) / 1.2; };
  for (int i = 0; i < steps; ++i) {
    const double from = top * (1.2 * i / steps - 0.2), to = top * (1.2 * (i + 1) / steps - 0.2);
    canvas.add_polygon({{place(from), bar.bottom},
                        {place(to), bar.bottom},
                        {place(to), bar.top()},
                        {place(from), bar.top()}},
                       stress_colour((from + to) / 2, top));
  }
  canvas.add_frame(bar, unit, canvas.ink());
  for (int tick = 0; tick <= 4; ++tick) {
    const double x = place(top * tick / 4);
    canvas.add_line(x, bar.bottom, x, bar.bottom - 6 * unit, unit, canvas.ink());
    canvas.add_text(x, bar.bottom - 16 * unit,
                    fmt::format("{:.3g}{}", top * tick / 4, tick == 4 ? " or more" : ""),
                    {.size = 14 * unit, .align = Align::centre});
  }
  const std::string factor = look.magnification == 0
                                 ? std::string("not deformed")
                                 : fmt::format("deformation magnified {:g} times", look.magnification);
  canvas.add_text(bar.right() + 80 * unit, middle + 9 * unit, factor, {.size = 17 * unit, .bold = true});
  canvas.add_text(bar.right() + 80 * unit, middle - 11 * unit, "thin lines: before",
                  {.size = 13 * unit, .faint = true});
}

std::string name_of_cut(const PlaneCut& cut) {
  constexpr std::array<const char*, 3> names{"bucco-lingual cut at x", "mesio-distal cut at y",
                                             "level cut at z"};
  return fmt::format("{} = {:.2f} mm", names[static_cast<std::size_t>(cut.axis)], cut.position);
}

}  // namespace

void draw_cut(const std::vector<Result>& results, const std::vector<std::string>& names,
              const std::filesystem::path& path, const CutOptions& options) {
  viz::require_sensible({.width = options.width,
                         .height = options.height,
                         .background = options.background,
                         .time = {},
                         .scale_top = {}});
  if (results.empty() || results.size() != names.size())
    throw std::invalid_argument(
        fmt::format("a cut needs a name for each result; there are {} results and {} names", results.size(),
                    names.size()));
  std::vector<CutPanel> panels;
  for (const Result& result : results) panels.push_back(make_panel(result, options));
  const double unit =
      options.width / (results.size() == 1 ? 1500.0 : 800.0 * static_cast<double>(results.size()));
  const int height = options.height.value_or(static_cast<int>(std::lround(1000 * unit)));
  CutLook look{.extent = {},
               .magnification = options.magnification.value_or(magnification_for(panels)),
               .stress_top = options.scale_top.value_or(stress_top_for(panels)),
               .pixel = unit};
  look.extent = extent_of(panels[0], Layout(panels[0], look.magnification));
  for (const CutPanel& panel : panels) {
    const auto extent = extent_of(panel, Layout(panel, look.magnification));
    look.extent = {look.extent[0].cwiseMin(extent[0]), look.extent[1].cwiseMax(extent[1])};
  }
  Canvas canvas(options.width, height, options.background);
  canvas.add_text(20 * unit, height - 34 * unit,
                  results.size() == 1 ? panels[0].volume.title : "Stress in tooth and filling compared",
                  {.size = 26 * unit, .bold = true});
  const double column = static_cast<double>(options.width) / static_cast<double>(panels.size());
  for (std::size_t p = 0; p < panels.size(); ++p) {
    const double left = column * static_cast<double>(p);
    const std::string name = results.size() == 1 ? "" : names[p] + ", ";
    canvas.add_text(left + 20 * unit, height - 78 * unit, fmt::format("{}{}", name, panels[p].heading),
                    {.size = 21 * unit, .bold = true});
    canvas.add_text(left + 20 * unit, height - 104 * unit, name_of_cut(panels[p].cut),
                    {.size = 17 * unit, .faint = true});
    draw_cut_panel(canvas, {left + 20 * unit, 124 * unit, column - 40 * unit, height - 244 * unit}, panels[p],
                   look);
  }
  draw_stress_bar(canvas, {20 * unit, 34 * unit, options.width - 40 * unit, 90 * unit}, look);
  canvas.add_text(20 * unit, 18 * unit, caution_line, {.size = 13 * unit, .faint = true});
  canvas.save(path);
}

}  // namespace setstress
