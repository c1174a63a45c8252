#include <fmt/core.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkCellType.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPoints.h>

#include <Eigen/Eigenvalues>
#include <stdexcept>

#include "viz/files/vtk_arrays.hpp"
#include "viz/files/vtk_files.hpp"
#include "viz/words/caution.hpp"

namespace setstress {
namespace {

using Grid = vtkSmartPointer<vtkUnstructuredGrid>;

/// Which tetrahedra and nodes a file holds, in the order of the mesh.
struct Selection {
  std::vector<int> tetrahedra;
  std::vector<int> nodes;
  std::vector<int> new_number;  ///< by node of the mesh; -1 where left out
};

Selection select(const Mesh& mesh, const std::vector<char>& placed) {
  Selection selection{.tetrahedra = {}, .nodes = {}, .new_number = std::vector<int>(mesh.nodes.size(), -1)};
  for (std::size_t t = 0; t < mesh.tetrahedra.size(); ++t) {
    const Tetrahedron& tetrahedron = mesh.tetrahedra[t];
    if (!placed.at(static_cast<std::size_t>(tetrahedron.region))) continue;
    selection.tetrahedra.push_back(static_cast<int>(t));
    for (const int node : tetrahedron.nodes) selection.new_number.at(static_cast<std::size_t>(node)) = 0;
  }
  for (std::size_t node = 0; node < mesh.nodes.size(); ++node) {
    if (selection.new_number[node] < 0) continue;
    selection.new_number[node] = static_cast<int>(selection.nodes.size());
    selection.nodes.push_back(static_cast<int>(node));
  }
  return selection;
}

/// Points and cells, with region, increment and the names of the regions.
Grid make_grid(const Mesh& mesh, const Selection& selection) {
  vtkNew<vtkPoints> points;
  points->SetDataTypeToFloat();
  for (const int node : selection.nodes)
    points->InsertNextPoint(mesh.nodes[static_cast<std::size_t>(node)].data());
  const auto count = static_cast<vtkIdType>(selection.tetrahedra.size());
  auto region = viz::int_array("region", count), increment = viz::int_array("increment", count);
  vtkNew<vtkCellArray> cells;
  for (vtkIdType cell = 0; cell < count; ++cell) {
    const Tetrahedron& tetrahedron =
        mesh.tetrahedra[static_cast<std::size_t>(selection.tetrahedra[static_cast<std::size_t>(cell)])];
    cells->InsertNextCell(10);
    for (const int node : tetrahedron.nodes)
      cells->InsertCellPoint(selection.new_number[static_cast<std::size_t>(node)]);
    region->SetValue(cell, tetrahedron.region);
    increment->SetValue(cell, mesh.regions[static_cast<std::size_t>(tetrahedron.region)].increment + 1);
  }
  auto grid = Grid::New();
  grid->SetPoints(points);
  grid->SetCells(VTK_QUADRATIC_TETRA, cells);
  grid->GetCellData()->AddArray(region);
  grid->GetCellData()->AddArray(increment);
  std::vector<std::string> names;
  for (const Region& each : mesh.regions) names.push_back(each.name);
  viz::add_text_as_bytes(grid->GetFieldData(), "regions", names);
  viz::add_text_as_bytes(grid->GetFieldData(), "caution", {caution_line});
  return grid;
}

/// Largest first [MPa].
Eigen::Vector3d principal_stress(const Vector6d& stress) {
  Eigen::Matrix3d tensor;
  tensor << stress(0), stress(5), stress(4), stress(5), stress(1), stress(3), stress(4), stress(3), stress(2);
  return Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>(tensor, Eigen::EigenvaluesOnly)
      .eigenvalues()
      .reverse();
}

void add_cell_fields(vtkUnstructuredGrid* grid, const Selection& selection, const Frame& frame) {
  const auto count = static_cast<vtkIdType>(selection.tetrahedra.size());
  auto stress = viz::float_array("stress", "MPa", 6, count);
  auto principal = viz::float_array("principal_stress", "MPa", 3, count);
  auto conversion = viz::float_array("conversion", "-", 1, count);
  for (vtkIdType cell = 0; cell < count; ++cell) {
    const auto tetrahedron = static_cast<std::size_t>(selection.tetrahedra[static_cast<std::size_t>(cell)]);
    Vector6d mean = Vector6d::Zero();
    double cured = 0;
    for (std::size_t point = 0; point < 4; ++point) {
      mean += frame.stress[tetrahedron][point] / 4;
      cured += frame.conversion[tetrahedron][point] / 4;
    }
    stress->SetTuple(cell, mean.data());
    principal->SetTuple(cell, principal_stress(mean).data());
    conversion->SetValue(cell, static_cast<float>(cured));
  }
  for (int c = 0; c < 6; ++c)
    stress->SetComponentName(c, std::array{"xx", "yy", "zz", "yz", "xz", "xy"}[static_cast<std::size_t>(c)]);
  for (vtkFloatArray* array : {stress.Get(), principal.Get(), conversion.Get()})
    grid->GetCellData()->AddArray(array);
}

void add_displacement(vtkUnstructuredGrid* grid, const Selection& selection, const Frame& frame) {
  auto displacement =
      viz::float_array("displacement", "mm", 3, static_cast<vtkIdType>(selection.nodes.size()));
  for (std::size_t n = 0; n < selection.nodes.size(); ++n)
    displacement->SetTuple(static_cast<vtkIdType>(n), &frame.displacement(3 * selection.nodes[n]));
  grid->GetPointData()->AddArray(displacement);
}

void require_matching(const Mesh& mesh, const Frame& frame, const FileLabels& labels) {
  const auto require = [](std::size_t has, std::size_t needs, const char* what) {
    if (has != needs)
      throw std::invalid_argument(
          fmt::format("a frame to be written has {} {}; the mesh needs {}", has, what, needs));
  };
  require(frame.placed.size(), mesh.regions.size(), "flags of placed regions");
  require(static_cast<std::size_t>(frame.displacement.size()), 3 * mesh.nodes.size(),
          "displacement components");
  require(frame.stress.size(), mesh.tetrahedra.size(), "tetrahedra with stress");
  require(frame.conversion.size(), mesh.tetrahedra.size(), "tetrahedra with conversion");
  require(labels.materials.size(), mesh.regions.size(), "material names");
}

}  // namespace

void write_volume(const Mesh& mesh, const Frame& frame, const FileLabels& labels,
                  const std::filesystem::path& path) {
  require_matching(mesh, frame, labels);
  const Selection selection = select(mesh, frame.placed);
  const Grid grid = make_grid(mesh, selection);
  add_displacement(grid, selection, frame);
  add_cell_fields(grid, selection, frame);
  viz::add_text_as_bytes(grid->GetFieldData(), "materials", labels.materials);
  viz::add_text_as_bytes(grid->GetFieldData(), "title", {labels.title});
  viz::add_text_as_bytes(
      grid->GetFieldData(), "units",
      {"displacement_mm mm", "stress_MPa MPa", "principal_stress_MPa MPa", "conversion -", "time s"});
  viz::add_time(grid->GetFieldData(), frame.time);
  viz::write_dataset(grid, path);
}

vtkSmartPointer<vtkUnstructuredGrid> viz::whole_grid(const Mesh& mesh) {
  return make_grid(mesh, select(mesh, std::vector<char>(mesh.regions.size(), 1)));
}

}  // namespace setstress
