#include "viz/scenes/actors.hpp"

#include <vtkActor.h>
#include <vtkNew.h>
#include <vtkPolyDataMapper.h>
#include <vtkProperty.h>

namespace setstress::viz {

vtkSmartPointer<vtkLookupTable> colour_table(const Scale& scale) {
  constexpr int count = 2048;
  auto table = vtkSmartPointer<vtkLookupTable>::New();
  table->SetNumberOfTableValues(count);
  table->SetRange(scale.low, scale.top);
  for (int i = 0; i < count; ++i) {
    const Colour colour = scale.colour(scale.low + (scale.top - scale.low) * (i + 0.5) / count);
    table->SetTableValue(i, colour[0], colour[1], colour[2], 1);
  }
  return table;
}

void add_actor(vtkRenderer* view, vtkPolyData* data, vtkLookupTable* table, const Colour& colour,
               double line_width, Sides sides) {
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
  actor->GetProperty()->SetBackfaceCulling(sides == Sides::front);
  view->AddActor(actor);
}

}  // namespace setstress::viz
