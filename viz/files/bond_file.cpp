#include <fmt/core.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPoints.h>

#include <algorithm>
#include <map>
#include <stdexcept>
#include <tuple>

#include "viz/files/facet_fit.hpp"
#include "viz/files/vtk_arrays.hpp"
#include "viz/files/vtk_files.hpp"
#include "viz/words/caution.hpp"

namespace setstress {
namespace {

/// A scalar of the bond that a file carries.
struct Quantity {
  const char* name;
  const char* unit;
  double (*value)(const BondPoint&);
  bool at_points;  ///< also as point data
};

const std::vector<Quantity>& quantities() {
  static const std::vector<Quantity> all{
      {"normal_traction", "MPa", [](const BondPoint& p) { return p.normal; }, true},
      {"shear_traction", "MPa", [](const BondPoint& p) { return p.shear; }, true},
      {"tensile_strength", "MPa", [](const BondPoint& p) { return p.tensile_strength; }, false},
      {"shear_strength", "MPa", [](const BondPoint& p) { return p.shear_strength; }, false},
      {"stress_to_strength_ratio", "-", [](const BondPoint& p) { return p.ratio; }, true},
      {"maturity", "-", [](const BondPoint& p) { return p.maturity; }, false},
      {"strength_lost", "-", [](const BondPoint& p) { return p.strength_lost; }, true},
      {"opening", "mm", [](const BondPoint& p) { return p.opening; }, true},
      {"slip", "mm", [](const BondPoint& p) { return p.slip; }, true},
      {"gap", "mm", [](const BondPoint& p) { return p.debonded() ? std::max(p.opening, 0.0) : 0.0; }, true},
      {"share_reached", "-",
       [](const BondPoint& p) { return p.ratio >= 1 || p.strength_lost > 0 ? 1.0 : 0.0; }, false},
      {"share_debonded", "-", [](const BondPoint& p) { return p.debonded() ? 1.0 : 0.0; }, false}};
  return all;
}

/// Four flat triangles of a six-node facet, by position in the facet.
constexpr std::array<std::array<int, 3>, 4> flat_triangles{{{0, 3, 5}, {3, 1, 4}, {5, 4, 2}, {3, 4, 5}}};

/// Where facets share the points of a file: at one node, within one wall, substrate and increment.
using PointKey = std::tuple<int, int, int, int>;  ///< wall, substrate, increment, node

struct BondPoints {
  std::vector<int> node;           ///< tooth-side node by point
  std::vector<SixNodes> of_facet;  ///< points by facet
};

int increment_of(const Mesh& mesh, const BondFacet& facet) {
  const Tetrahedron& behind = mesh.tetrahedra.at(static_cast<std::size_t>(facet.filling_tetrahedron));
  return mesh.regions.at(static_cast<std::size_t>(behind.region)).increment;
}

BondPoints number_points(const Mesh& mesh, const FileLabels& labels) {
  std::map<PointKey, int> numbers;
  BondPoints points;
  for (std::size_t f = 0; f < mesh.bond.size(); ++f) {
    const BondFacet& facet = mesh.bond[f];
    SixNodes& own = points.of_facet.emplace_back();
    for (std::size_t corner = 0; corner < 6; ++corner) {
      const int node = facet.tooth[corner];
      const PointKey key{facet.wall, static_cast<int>(labels.substrates[f]), increment_of(mesh, facet), node};
      const auto [entry, is_new] = numbers.try_emplace(key, static_cast<int>(points.node.size()));
      if (is_new) points.node.push_back(node);
      own[corner] = entry->second;
    }
  }
  return points;
}

vtkSmartPointer<vtkPolyData> make_surface(const Mesh& mesh, const BondPoints& bond) {
  vtkNew<vtkPoints> points;
  points->SetDataTypeToFloat();
  for (const int node : bond.node) points->InsertNextPoint(mesh.nodes[static_cast<std::size_t>(node)].data());
  vtkNew<vtkCellArray> triangles;
  for (const SixNodes& facet : bond.of_facet)
    for (const auto& triangle : flat_triangles) {
      triangles->InsertNextCell(3);
      for (const int corner : triangle) triangles->InsertCellPoint(facet[static_cast<std::size_t>(corner)]);
    }
  auto surface = vtkSmartPointer<vtkPolyData>::New();
  surface->SetPoints(points);
  surface->SetPolys(triangles);
  return surface;
}

/// Repeats a facet's value on its four triangles.
template <typename Array, typename Value>
void set_facet(Array* array, std::size_t facet, Value value) {
  for (std::size_t t = 0; t < 4; ++t) array->SetValue(static_cast<vtkIdType>(4 * facet + t), value);
}

void add_indices(vtkPolyData* surface, const Mesh& mesh, const FileLabels& labels, const Frame& frame) {
  const auto count = static_cast<vtkIdType>(4 * mesh.bond.size());
  auto wall = viz::int_array("wall", count), substrate = viz::int_array("substrate", count);
  auto increment = viz::int_array("increment", count), active = viz::int_array("active", count);
  auto number = viz::int_array("facet", count);
  for (std::size_t f = 0; f < mesh.bond.size(); ++f) {
    set_facet(wall.Get(), f, mesh.bond[f].wall);
    set_facet(substrate.Get(), f, static_cast<int>(labels.substrates[f]));
    set_facet(increment.Get(), f, increment_of(mesh, mesh.bond[f]) + 1);
    set_facet(active.Get(), f, std::ranges::all_of(frame.bond[f], &BondPoint::active) ? 1 : 0);
    set_facet(number.Get(), f, static_cast<int>(f));
  }
  for (vtkIntArray* array : {wall.Get(), substrate.Get(), increment.Get(), active.Get(), number.Get()})
    surface->GetCellData()->AddArray(array);
}

/// Throws std::out_of_range where a facet has none.
void add_gap_numbers(vtkPolyData* surface, const std::vector<int>& gap_of_facet) {
  auto array = viz::int_array("gap_number", surface->GetNumberOfCells());
  for (std::size_t f = 0; 4 * f < static_cast<std::size_t>(surface->GetNumberOfCells()); ++f)
    set_facet(array.Get(), f, gap_of_facet.at(f));
  surface->GetCellData()->AddArray(array);
}

void add_facet_means(vtkPolyData* surface, const Frame& frame) {
  const auto count = static_cast<vtkIdType>(4 * frame.bond.size());
  auto traction = viz::float_array("traction", "MPa", 3, count);
  for (std::size_t f = 0; f < frame.bond.size(); ++f) {
    Eigen::Vector3d mean = Eigen::Vector3d::Zero();
    for (std::size_t p = 0; p < 6; ++p) mean += facet_points()[p].weight * frame.bond[f][p].traction;
    for (std::size_t t = 0; t < 4; ++t) traction->SetTuple(static_cast<vtkIdType>(4 * f + t), mean.data());
  }
  surface->GetCellData()->AddArray(traction);
  for (const Quantity& quantity : quantities()) {
    auto array = viz::float_array(quantity.name, quantity.unit, 1, count);
    for (std::size_t f = 0; f < frame.bond.size(); ++f) {
      double mean = 0;
      for (std::size_t p = 0; p < 6; ++p) mean += facet_points()[p].weight * quantity.value(frame.bond[f][p]);
      set_facet(array.Get(), f, static_cast<float>(mean));
    }
    surface->GetCellData()->AddArray(array);
  }
}

void add_point_values(vtkPolyData* surface, const Mesh& mesh, const BondPoints& points, const Frame& frame) {
  const std::size_t count = points.node.size();
  std::vector<double> area_at(count, 0.0), facet_area;
  for (std::size_t f = 0; f < mesh.bond.size(); ++f) {
    facet_area.push_back(area_and_normal(mesh, mesh.bond[f].tooth).area);
    for (const int point : points.of_facet[f]) area_at[static_cast<std::size_t>(point)] += facet_area[f];
  }
  for (const Quantity& quantity : quantities()) {
    if (!quantity.at_points) continue;
    std::vector<double> sum(count, 0.0);
    for (std::size_t f = 0; f < mesh.bond.size(); ++f) {
      std::array<double, 6> values;
      std::ranges::transform(frame.bond[f], values.begin(), quantity.value);
      const std::array<double, 6> fitted = viz::at_nodes(values);
      for (std::size_t n = 0; n < 6; ++n)
        sum[static_cast<std::size_t>(points.of_facet[f][n])] += facet_area[f] * fitted[n];
    }
    auto array = viz::float_array(quantity.name, quantity.unit, 1, static_cast<vtkIdType>(count));
    for (std::size_t p = 0; p < count; ++p)
      array->SetValue(static_cast<vtkIdType>(p), static_cast<float>(sum[p] / area_at[p]));
    surface->GetPointData()->AddArray(array);
  }
  auto displacement = viz::float_array("displacement", "mm", 3, static_cast<vtkIdType>(count));
  for (std::size_t p = 0; p < count; ++p)
    displacement->SetTuple(static_cast<vtkIdType>(p), &frame.displacement(3 * points.node[p]));
  surface->GetPointData()->AddArray(displacement);
}

void add_labels(vtkFieldData* fields, const Mesh& mesh, const FileLabels& labels, const Frame& frame) {
  std::vector<std::string> substrates, units{"traction_MPa MPa", "displacement_mm mm", "time s"};
  for (const Substrate substrate : all_substrates) substrates.push_back(name_of(substrate));
  for (const Quantity& quantity : quantities())
    units.push_back(fmt::format("{} {}", viz::name_with_unit(quantity.name, quantity.unit), quantity.unit));
  viz::add_text(fields, "walls", mesh.walls);
  viz::add_text(fields, "substrates", substrates);
  viz::add_text(fields, "units", units);
  viz::add_text(fields, "title", {labels.title});
  viz::add_text(fields, "event", {frame.event});
  viz::add_text(fields, "caution", {caution_line});
  viz::add_time(fields, frame.time);
}

}  // namespace

void write_bond(const Mesh& mesh, const Frame& frame, const FileLabels& labels,
                const std::filesystem::path& path, const std::vector<int>& gap_of_facet) {
  if (frame.bond.size() != mesh.bond.size() || labels.substrates.size() != mesh.bond.size())
    throw std::invalid_argument(fmt::format(
        "the bond of a frame to be written has {} facets and {} substrates; the mesh has {} facets",
        frame.bond.size(), labels.substrates.size(), mesh.bond.size()));
  if (static_cast<std::size_t>(frame.displacement.size()) != 3 * mesh.nodes.size())
    throw std::invalid_argument(
        fmt::format("a frame to be written has {} displacement components; the mesh needs {}",
                    frame.displacement.size(), 3 * mesh.nodes.size()));
  const BondPoints points = number_points(mesh, labels);
  const auto surface = make_surface(mesh, points);
  add_indices(surface, mesh, labels, frame);
  if (!gap_of_facet.empty()) add_gap_numbers(surface, gap_of_facet);
  add_facet_means(surface, frame);
  add_point_values(surface, mesh, points, frame);
  add_labels(surface->GetFieldData(), mesh, labels, frame);
  viz::write_dataset(surface, path);
}

}  // namespace setstress
