#include "solver/report/bite_report.hpp"

#include <Eigen/Eigenvalues>
#include <map>

#include "solver/report/weighted_sample.hpp"

namespace setstress {
namespace {

/// Smallest and largest principal stress of the mean over a tetrahedron [MPa].
std::pair<double, double> principal(const std::array<Vector6d, 4>& stress) {
  const Vector6d s = 0.25 * (stress[0] + stress[1] + stress[2] + stress[3]);
  Eigen::Matrix3d tensor;
  tensor << s(0), s(5), s(4), s(5), s(1), s(3), s(4), s(3), s(2);
  const Eigen::Vector3d values = Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>()
                                     .computeDirect(tensor, Eigen::EigenvaluesOnly)
                                     .eigenvalues();
  return {values(0), values(2)};
}

double debonded_share(const std::array<BondPoint, 6>& points) {
  double share = 0;
  for (std::size_t p = 0; p < 6; ++p)
    if (points[p].active && points[p].debonded()) share += facet_points()[p].weight;
  return share;
}

std::vector<StressBesideGaps> stress_beside_gaps(const Mesh& mesh, const Frame& frame) {
  struct Samples {
    double area = 0;
    std::vector<WeightedValue> tension, compression;
  };
  std::map<std::string, Samples> bodies;
  for (std::size_t f = 0; f < mesh.bond.size(); ++f) {
    const BondFacet& facet = mesh.bond[f];
    const double area = debonded_share(frame.bond[f]) * area_and_normal(mesh, facet.tooth).area;
    if (!(area > 0)) continue;
    const auto behind = static_cast<std::size_t>(facet.tooth_tetrahedron);
    const auto [smallest, largest] = principal(frame.stress[behind]);
    Samples& body = bodies[mesh.regions[static_cast<std::size_t>(mesh.tetrahedra[behind].region)].name];
    body.area += area;
    body.tension.push_back({largest, area});
    body.compression.push_back({-smallest, area});
  }
  std::vector<StressBesideGaps> beside;
  for (auto& [body, samples] : bodies) {
    sort_by_value(samples.tension);
    sort_by_value(samples.compression);
    beside.push_back({body, samples.area, weighted_mean(samples.tension),
                      weighted_percentile(samples.tension, 0.95), weighted_mean(samples.compression),
                      weighted_percentile(samples.compression, 0.95)});
  }
  return beside;
}

}  // namespace

BiteReport::BiteReport(const Model& model) : model_(model) {
  for (const Bite& bite : model.timeline.bites) contacts_.push_back(contact_patch(model.mesh, bite));
}

std::optional<BiteReading> BiteReport::of(const Frame& frame) {
  const std::vector<Bite>& bites = model_.timeline.bites;
  if (bites.empty() || frame.time < bites.front().start) return std::nullopt;
  const int before = now_;
  while (now_ < static_cast<int>(bites.size()) && bites[static_cast<std::size_t>(now_)].start <= frame.time)
    ++now_;
  const auto last = static_cast<std::size_t>(now_ - 1);
  const double sunk = contacts_[last].forces.dot(frame.displacement) / bites[last].force;
  if (now_ > before) sunk_before_ = sunk;
  BiteReading reading{
      now_, frame.bite_force, sunk - sunk_before_, 0, 0, 0, stress_beside_gaps(model_.mesh, frame)};
  for (std::size_t f = 0; f < frame.bond.size(); ++f) {
    const double area = area_and_normal(model_.mesh, model_.mesh.bond[f].tooth).area;
    for (std::size_t p = 0; p < 6; ++p) {
      const BondPoint& point = frame.bond[f][p];
      if (!point.active || !point.debonded()) continue;
      const double share = facet_points()[p].weight * area;
      reading.debonded_area += share;
      if (point.normal >= 0) continue;
      reading.closed_area += share;
      reading.closed_force -= share * point.normal;
    }
  }
  return reading;
}

}  // namespace setstress
