#include "solver/report/stress_report.hpp"

#include <Eigen/Eigenvalues>
#include <map>
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

std::optional<CuspDeflection> cusp_deflection(const Mesh& mesh, const Frame& frame) {
  const auto buccal = mean_displacement(mesh, frame, "occlusal buccal", -Eigen::Vector3d::UnitY());
  const auto lingual = mean_displacement(mesh, frame, "occlusal lingual", Eigen::Vector3d::UnitY());
  if (!buccal || !lingual) return std::nullopt;
  return CuspDeflection{*buccal, *lingual};
}

}  // namespace setstress
