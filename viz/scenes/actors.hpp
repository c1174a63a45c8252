#pragma once
// Private to viz/: shapes in a view, unlit, so that their colours are those of the bar.

#include <vtkLookupTable.h>
#include <vtkPolyData.h>
#include <vtkRenderer.h>
#include <vtkSmartPointer.h>

#include "viz/drawing/scale.hpp"

namespace setstress::viz {

/// The colours of a scale from end to end.
vtkSmartPointer<vtkLookupTable> colour_table(const Scale& scale);

/// Of lines on coloured surfaces, whatever the page; and of the shape before it deformed.
inline const Colour surface_line = from_lch(8, 0, 0), before_line = from_lch(50, 0, 0);

enum class Sides { both, front };

/// Coloured by its scalars and `table`; in one `colour` where `table` is null.
void add_actor(vtkRenderer* view, vtkPolyData* data, vtkLookupTable* table, const Colour& colour,
               double line_width, Sides sides);

}  // namespace setstress::viz
