#include "solver/report/stress_report.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <iterator>
#include <map>
#include <set>
#include <stdexcept>

#include "solver/report/weighted_sample.hpp"

namespace setstress {

namespace {

double first_principal(const Vector6d& s) {
  Eigen::Matrix3d tensor;
  tensor << s(0), s(5), s(4), s(5), s(1), s(3), s(4), s(3), s(2);
  return Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>()
      .computeDirect(tensor, Eigen::EigenvaluesOnly)
      .eigenvalues()(2);
}

/// Nodes of a surface, each once.
std::vector<int> nodes_of(const Mesh& mesh, const std::string& surface) {
  std::set<int> nodes;
  for (const Surface& candidate : mesh.surfaces)
    if (candidate.name == surface)
      for (const SixNodes& facet : candidate.facets) nodes.insert(facet.begin(), facet.end());
  return {nodes.begin(), nodes.end()};
}

double movement(int node, const Frame& frame, const Eigen::Vector3d& direction) {
  return direction.dot(frame.displacement.segment<3>(3 * node));
}

double largest_movement(const std::vector<int>& nodes, const Frame& frame, const Eigen::Vector3d& direction) {
  double largest = movement(nodes.front(), frame, direction);
  for (const int node : nodes) largest = std::max(largest, movement(node, frame, direction));
  return largest;
}

/// Those of `nodes` that lie on the edge of the cavity, on the tooth's side of the bond.
std::vector<int> on_cavity_edge(const Mesh& mesh, const std::vector<int>& nodes) {
  std::set<int> bonded;
  for (const BondFacet& facet : mesh.bond) bonded.insert(facet.tooth.begin(), facet.tooth.end());
  std::vector<int> edge;
  std::ranges::set_intersection(nodes, bonded, std::back_inserter(edge));
  return edge;
}

/// Nodes at the mesial and distal end and half way of the edge of the cavity. `inwards` points from the cusp
/// to the cavity. Of nodes that are equally far mesial, distal or from the middle, the one nearest to the
/// cusp counts: a corner, not the wall that runs across from it.
std::optional<std::array<int, 3>> edge_nodes(const Mesh& mesh, const std::vector<int>& surface,
                                             const Eigen::Vector3d& inwards) {
  const std::vector<int> edge = on_cavity_edge(mesh, surface);
  if (edge.empty()) return std::nullopt;
  const auto at = [&](int node) { return mesh.nodes[static_cast<std::size_t>(node)]; };
  const auto nearest_to = [&](double x) {
    constexpr double same_place = 1e-6;  // [mm]
    return *std::ranges::min_element(edge, [&](int a, int b) {
      const double further = std::abs(at(a).x() - x) - std::abs(at(b).x() - x);
      return std::abs(further) > same_place ? further < 0 : inwards.dot(at(a)) < inwards.dot(at(b));
    });
  };
  const auto [first, last] =
      std::ranges::minmax(edge, {}, [&](int node) { return mesh.nodes[static_cast<std::size_t>(node)].x(); });
  const double mesial = at(first).x(), distal = at(last).x();
  return std::array{nearest_to(mesial), nearest_to(distal), nearest_to(0.5 * (mesial + distal))};
}

std::optional<CavityEdge> edge_movement(const std::optional<std::array<int, 3>>& edge, const Frame& frame,
                                        const Eigen::Vector3d& inwards) {
  if (!edge) return std::nullopt;
  const auto [mesial, distal, middle] = *edge;
  return CavityEdge{.mesial = movement(mesial, frame, inwards),
                    .distal = movement(distal, frame, inwards),
                    .middle = movement(middle, frame, inwards)};
}

}  // namespace

std::vector<TensileStress> tensile_stress(const Mesh& mesh, const Frame& frame) {
  if (frame.stress.size() != mesh.tetrahedra.size())
    throw std::invalid_argument("tensile stress: mesh and frame have different numbers of tetrahedra");
  std::map<std::string, std::vector<WeightedValue>> bodies;
  for (std::size_t t = 0; t < mesh.tetrahedra.size(); ++t) {
    const auto r = static_cast<std::size_t>(mesh.tetrahedra[t].region);
    if (!frame.placed[r]) continue;
    const double share = volume(mesh, mesh.tetrahedra[t]) / 4.0;
    auto& body = bodies[mesh.regions[r].is_filling() ? "filling" : mesh.regions[r].name];
    for (const Vector6d& stress : frame.stress[t]) body.push_back({first_principal(stress), share});
  }
  std::vector<TensileStress> report;
  for (auto& [name, sample] : bodies) {
    sort_by_value(sample);
    report.push_back({name, weighted_percentile(sample, 0.5), weighted_percentile(sample, 0.95),
                      weighted_percentile(sample, 0.99)});
  }
  return report;
}

std::optional<double> mean_displacement(const Mesh& mesh, const Frame& frame, const std::string& surface,
                                        const Eigen::Vector3d& direction) {
  double moved = 0, area = 0;
  for (const Surface& candidate : mesh.surfaces) {
    if (candidate.name != surface) continue;
    for (const SixNodes& facet : candidate.facets) {
      const double share = area_and_normal(mesh, facet).area / 3.0;
      for (std::size_t i = 3; i < 6;
           ++i)  // a quadratic field's mean over a flat triangle is that of its edge middles
        moved += share * direction.dot(frame.displacement.segment<3>(3 * facet[i]));
      area += 3.0 * share;
    }
  }
  if (!(area > 0)) return std::nullopt;
  return moved / area;
}

CuspReport::Cusp CuspReport::cusp(const Mesh& mesh, const std::string& surface,
                                  const Eigen::Vector3d& inwards) {
  Cusp cusp{surface, inwards, nodes_of(mesh, surface), {}};
  cusp.edge = edge_nodes(mesh, cusp.nodes, inwards);
  return cusp;
}

CuspReport::CuspReport(const Mesh& mesh)
    : mesh_(mesh),
      buccal_(cusp(mesh, "occlusal buccal", -Eigen::Vector3d::UnitY())),
      lingual_(cusp(mesh, "occlusal lingual", Eigen::Vector3d::UnitY())) {}

std::optional<CuspDeflection> CuspReport::of(const Frame& frame) const {
  const auto buccal = mean_displacement(mesh_, frame, buccal_.surface, buccal_.inwards);
  const auto lingual = mean_displacement(mesh_, frame, lingual_.surface, lingual_.inwards);
  if (!buccal || !lingual) return std::nullopt;
  return CuspDeflection{.buccal = *buccal,
                        .lingual = *lingual,
                        .largest_buccal = largest_movement(buccal_.nodes, frame, buccal_.inwards),
                        .largest_lingual = largest_movement(lingual_.nodes, frame, lingual_.inwards),
                        .buccal_edge = edge_movement(buccal_.edge, frame, buccal_.inwards),
                        .lingual_edge = edge_movement(lingual_.edge, frame, lingual_.inwards)};
}

std::optional<CuspDeflection> cusp_deflection(const Mesh& mesh, const Frame& frame) {
  return CuspReport(mesh).of(frame);
}

}  // namespace setstress
