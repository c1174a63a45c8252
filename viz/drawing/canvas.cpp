#include "viz/drawing/canvas.hpp"

#include <vtkActor2D.h>
#include <vtkCellArray.h>
#include <vtkImageData.h>
#include <vtkPNGWriter.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkPolyDataMapper2D.h>
#include <vtkProperty2D.h>
#include <vtkTextActor.h>
#include <vtkTextProperty.h>
#include <vtkUnsignedCharArray.h>
#include <vtkWindowToImageFilter.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#ifdef __SANITIZE_ADDRESS__
#include <sanitizer/lsan_interface.h>
#endif

#include "viz/files/write_file.hpp"

namespace setstress::viz {
namespace {

/// One polygon or line for each list of corners.
vtkSmartPointer<vtkActor2D> flat_actor(const std::vector<std::vector<FlatPoint>>& shapes, bool closed,
                                       const Colour& colour, double line_width) {
  vtkNew<vtkPoints> points;
  vtkNew<vtkCellArray> cells;
  for (const std::vector<FlatPoint>& corners : shapes) {
    cells->InsertNextCell(static_cast<int>(corners.size()));
    for (const auto& [x, y] : corners) cells->InsertCellPoint(points->InsertNextPoint(x, y, 0));
  }
  vtkNew<vtkPolyData> shape;
  shape->SetPoints(points);
  if (closed)
    shape->SetPolys(cells);
  else
    shape->SetLines(cells);
  vtkNew<vtkPolyDataMapper2D> mapper;
  mapper->SetInputData(shape);
  auto actor = vtkSmartPointer<vtkActor2D>::New();
  actor->SetMapper(mapper);
  actor->GetProperty()->SetColor(colour[0], colour[1], colour[2]);
  actor->GetProperty()->SetLineWidth(static_cast<float>(line_width));
  return actor;
}

/// Every other piece of `length` of a path.
std::vector<std::vector<FlatPoint>> dashes(const std::vector<FlatPoint>& path, double length) {
  std::vector<std::vector<FlatPoint>> all;
  double passed = 0;  // along the path, up to the start of the piece at hand
  for (std::size_t i = 0; i + 1 < path.size(); ++i) {
    const double dx = path[i + 1][0] - path[i][0], dy = path[i + 1][1] - path[i][1],
                 size = std::hypot(dx, dy);
    for (double from = 0; from < size;) {
      const double cycle = std::fmod(passed + from, 2 * length);
      const double to = std::min(size, from + (cycle < length ? length : 2 * length) - cycle + 1e-9);
      if (cycle < length)
        all.push_back({{path[i][0] + dx * from / size, path[i][1] + dy * from / size},
                       {path[i][0] + dx * to / size, path[i][1] + dy * to / size}});
      from = to;
    }
    passed += size;
  }
  return all;
}

vtkSmartPointer<vtkImageData> snapshot(vtkRenderWindow* window, bool with_alpha) {
  vtkNew<vtkWindowToImageFilter> filter;
  filter->SetInput(window);
  if (with_alpha)
    filter->SetInputBufferTypeToRGBA();
  else
    filter->SetInputBufferTypeToRGB();
  filter->ReadFrontBufferOff();
  filter->Update();
  return filter->GetOutput();
}

/// The graphics driver keeps some memory for good; the leak checker is told not to blame us for that.
void render(vtkRenderWindow* window) {
#ifdef __SANITIZE_ADDRESS__
  const __lsan::ScopedDisabler drivers_own;
#endif
  window->Render();
}

}  // namespace

Canvas::Canvas(int width, int height, Background background) : Drawing(width, height, background) {
  window_->SetOffScreenRendering(1);
  window_->SetSize(width, height);
  window_->SetDPI(72);  // a point is a pixel
  window_->SetMultiSamples(8);
  window_->SetAlphaBitPlanes(1);
  window_->SetNumberOfLayers(2);
  vtkRenderer* page = add_view({0, 0, static_cast<double>(width), static_cast<double>(height)});
  const Colour colour = paper();
  page->SetBackground(colour[0], colour[1], colour[2]);
  page->SetBackgroundAlpha(background == Background::transparent ? 0 : 1);
  page->SetPreserveColorBuffer(0);
  overlay_->SetLayer(1);
  window_->AddRenderer(overlay_);
}

vtkRenderer* Canvas::add_view(const Box& box) {
  vtkNew<vtkRenderer> view;
  view->SetViewport(box.left / width(), box.bottom / height(), box.right() / width(), box.top() / height());
  view->SetPreserveColorBuffer(1);
  window_->AddRenderer(view);
  return view;
}

void Canvas::add_text(double x, double y, const std::string& text, const TextStyle& style) {
  vtkNew<vtkTextActor> actor;
  actor->SetInput(text.c_str());
  actor->SetPosition(x, y);
  vtkTextProperty* property = actor->GetTextProperty();
  property->SetFontFamilyToArial();
  property->SetFontSize(static_cast<int>(std::lround(style.size)));
  property->SetBold(style.bold);
  property->SetVerticalJustificationToCentered();
  property->SetJustification(style.align == Align::left     ? VTK_TEXT_LEFT
                             : style.align == Align::centre ? VTK_TEXT_CENTERED
                                                            : VTK_TEXT_RIGHT);
  Colour colour = style.faint ? faint_ink() : ink();
  property->SetColor(colour.data());
  if (style.plate) {
    Colour plate = paper();
    property->SetBackgroundColor(plate.data());
    property->SetBackgroundOpacity(0.75);
  }
  overlay_->AddActor2D(actor);
}

void Canvas::add_polygon(const std::vector<FlatPoint>& corners, const Colour& colour) {
  overlay_->AddActor2D(flat_actor({corners}, true, colour, 1));
}

void Canvas::add_path(const std::vector<FlatPoint>& points, double line_width, const Colour& colour,
                      bool dashed) {
  overlay_->AddActor2D(
      flat_actor(dashed ? dashes(points, 4 * line_width) : std::vector<std::vector<FlatPoint>>{points}, false,
                 colour, line_width));
}

std::vector<unsigned char> Canvas::pixels() {
  render(window_);
  const auto image = snapshot(window_, background() == Background::transparent);
  const auto* scalars = vtkUnsignedCharArray::SafeDownCast(image->GetPointData()->GetScalars());
  if (scalars == nullptr || scalars->GetNumberOfValues() == 0)
    throw std::runtime_error("the picture could not be drawn");
  const unsigned char* first = const_cast<vtkUnsignedCharArray*>(scalars)->GetPointer(0);
  return {first, first + scalars->GetNumberOfValues()};
}

void Canvas::save(const std::filesystem::path& path) {
  render(window_);
  vtkNew<vtkPNGWriter> writer;
  writer->SetInputData(snapshot(window_, background() == Background::transparent));
  writer->WriteToMemoryOn();
  writer->SetCompressionLevel(2);
  writer->Write();
  vtkUnsignedCharArray* bytes = writer->GetResult();
  if (writer->GetErrorCode() != 0 || bytes == nullptr || bytes->GetNumberOfValues() == 0)
    throw std::runtime_error("cannot write " + path.string() + ": VTK could not compose the picture");
  write_file(path, {reinterpret_cast<const char*>(bytes->GetPointer(0)),
                    static_cast<std::size_t>(bytes->GetNumberOfValues())});
}

}  // namespace setstress::viz
