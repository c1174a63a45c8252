#pragma once
// Private to viz/: named arrays with units, and VTK data sets as files.

#include <vtkDataSet.h>
#include <vtkFieldData.h>
#include <vtkFloatArray.h>
#include <vtkIntArray.h>
#include <vtkPolyData.h>
#include <vtkSmartPointer.h>
#include <vtkUnstructuredGrid.h>

#include <filesystem>
#include <string>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"

namespace setstress::viz {

/// As an array is called in a file, for readers that show nothing else: "gap" in "mm" is "gap_mm"; "-" adds
/// nothing.
std::string name_with_unit(const std::string& name, const std::string& unit);
/// The name of the quantity, from a file of ours with or without units in its names.
std::string name_without_unit(const std::string& name);

/// Zero-filled array of `count` tuples; `unit` ("mm", "MPa", "-") is kept with it and in its name.
vtkSmartPointer<vtkFloatArray> float_array(const char* name, const char* unit, int components,
                                           vtkIdType count);
vtkSmartPointer<vtkIntArray> int_array(const char* name, vtkIdType count);

void add_text(vtkFieldData* fields, const char* name, const std::vector<std::string>& lines);
/// As bytes of UTF-8, lines parted by line ends: readers other than VTK's (meshio's) refuse a file with words
/// in it.
void add_text_as_bytes(vtkFieldData* fields, const char* name, const std::vector<std::string>& lines);
/// Time [s] under VTK's own name, so that viewers show it.
void add_time(vtkFieldData* fields, double time);

/// All tetrahedra with region, increment, names of the regions and caution line.
vtkSmartPointer<vtkUnstructuredGrid> whole_grid(const Mesh& mesh);

void write_dataset(vtkUnstructuredGrid* grid, const std::filesystem::path& path);
void write_dataset(vtkPolyData* surface, const std::filesystem::path& path);

}  // namespace setstress::viz
