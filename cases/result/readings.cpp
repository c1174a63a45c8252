#include "cases/result/readings.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "solver/report/stress_report.hpp"

namespace setstress {

namespace {

/// Section [mm2] and height [mm] of the composite of a specimen between plates.
std::pair<double, double> between_plates(const Geometry& geometry) {
  const auto* specimen = std::get_if<Specimen>(&geometry);
  if (specimen == nullptr) return {0, 0};
  if (const auto* disc = std::get_if<DiscBetweenPlates>(specimen))
    return {0.25 * std::numbers::pi * disc->diameter * disc->diameter, disc->height};
  if (const auto* joint = std::get_if<ButtJoint>(specimen))
    return {joint->length * joint->width, joint->height};
  return {0, 0};
}

/// Mean of a vector field over a six-node facet: for a quadratic field that of the middles of its edges.
Eigen::Vector3d mean_over(const SixNodes& facet, const Eigen::VectorXd& field) {
  Eigen::Vector3d sum = Eigen::Vector3d::Zero();
  for (std::size_t i = 3; i < 6; ++i) sum += field.segment<3>(3 * facet[i]) / 3.0;
  return sum;
}

/// None where the shape has no surface of the filling that opens to occlusal.
std::vector<SixNodes> outer_facets_of_filling(const Mesh& mesh) {
  if (std::ranges::none_of(mesh.surfaces, [](const Surface& s) { return s.name == "filling surface"; }))
    return {};
  std::vector<char> in_filling(mesh.nodes.size(), 0);
  for (const Tetrahedron& tetrahedron : mesh.tetrahedra)
    if (mesh.regions[static_cast<std::size_t>(tetrahedron.region)].is_filling())
      for (const int node : tetrahedron.nodes) in_filling[static_cast<std::size_t>(node)] = 1;
  std::vector<SixNodes> facets;
  for (const Surface& surface : mesh.surfaces)
    for (const SixNodes& facet : surface.facets)
      if (std::ranges::all_of(facet, [&](int n) { return in_filling[static_cast<std::size_t>(n)] != 0; }))
        facets.push_back(facet);
  return facets;
}

int nearest_node(const Mesh& mesh, const std::vector<SixNodes>& facets) {
  Eigen::Vector3d centre = Eigen::Vector3d::Zero();
  double area = 0;
  for (const SixNodes& facet : facets) {
    const double share = area_and_normal(mesh, facet).area / 3.0;
    for (std::size_t i = 3; i < 6; ++i) centre += share * mesh.nodes[static_cast<std::size_t>(facet[i])];
    area += 3.0 * share;
  }
  centre /= area;
  int nearest = facets.front()[0];
  const auto away = [&](int node) { return (mesh.nodes[static_cast<std::size_t>(node)] - centre).norm(); };
  for (const SixNodes& facet : facets)
    for (const int node : facet)
      if (away(node) < away(nearest)) nearest = node;
  return nearest;
}

}  // namespace

Instruments::Instruments(const Case& input, const Model& model) : input_(input), model_(model) {
  std::tie(area_, height_) = between_plates(input.geometry);
  free_ = outer_facets_of_filling(model.mesh);
  for (const SixNodes& facet : free_)
    if (area_and_normal(model.mesh, facet).normal.z() > 0.5) occlusal_.push_back(facet);
  if (!occlusal_.empty()) middle_ = nearest_node(model.mesh, occlusal_);
  for (std::size_t r = 0; r < model.mesh.regions.size(); ++r)
    if (model.mesh.regions[r].is_filling()) regions_.push_back(static_cast<int>(r));
}

Readings Instruments::of(const Frame& frame) {
  Readings readings;
  if (height_ > 0) read_plates(frame, readings);
  if (middle_ >= 0) readings.sink = sink(frame);
  return readings;
}

void Instruments::read_plates(const Frame& frame, Readings& readings) const {
  const Eigen::Vector3d up = Eigen::Vector3d::UnitZ();
  const auto top = mean_displacement(model_.mesh, frame, "top", up),
             bottom = mean_displacement(model_.mesh, frame, "bottom", up);
  if (!top || !bottom) return;
  readings.axial_shrinkage = (*bottom - *top) / height_;
  if (input_.supports.frame) {
    readings.frame_yield = -*top;
    readings.frame_force = -*top * input_.supports.frame->stiffness;
    return;
  }
  for (std::size_t h = 0; h < model_.fixed.size(); ++h)
    if (model_.fixed[h].surface == "top" && model_.fixed[h].held[2] && model_.fixed[h].meeting.empty())
      readings.frame_force = readings.frame_force.value_or(0) + frame.reactions[h].z();
}

std::optional<SurfaceSink> Instruments::sink(const Frame& frame) {
  if (!std::ranges::all_of(regions_, [&](int r) { return frame.placed[static_cast<std::size_t>(r)] != 0; }))
    return std::nullopt;
  if (laid_.size() == 0) laid_ = frame.displacement;
  const Eigen::VectorXd moved = frame.displacement - laid_;
  SurfaceSink sink;
  for (const SixNodes& facet : free_) {
    const AreaAndNormal flat = area_and_normal(model_.mesh, facet);
    sink.volume -= flat.area * flat.normal.dot(mean_over(facet, moved));
  }
  double area = 0;
  for (const SixNodes& facet : occlusal_) {
    const double share = area_and_normal(model_.mesh, facet).area;
    sink.mean -= share * mean_over(facet, moved).z();
    area += share;
  }
  sink.mean /= area;
  sink.middle = -moved(3 * middle_ + 2);
  return sink;
}

}  // namespace setstress
