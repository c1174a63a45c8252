#include "tests/trends/trend_case.hpp"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <numeric>
#include <set>
#include <stdexcept>

namespace setstress::testing {

namespace {

using Position = std::array<long, 3>;

/// Position in units of 0.1 um: nodes of bond and volume files meet to single precision.
Position position_of(const Eigen::Vector3d& point) {
  return {std::lround(1e4 * point.x()), std::lround(1e4 * point.y()), std::lround(1e4 * point.z())};
}

std::set<Position> nodes_on(const BondSurface& bond, const std::string& wall) {
  std::set<Position> nodes;
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    const auto index = static_cast<std::size_t>(bond.cell_field("wall")(static_cast<Eigen::Index>(t), 0));
    if (bond.walls.at(index) != wall) continue;
    for (const int corner : bond.triangles[t])
      nodes.insert(position_of(bond.points[static_cast<std::size_t>(corner)]));
  }
  return nodes;
}

double volume_of(const VolumeCells& cells, const std::array<int, 10>& nodes) {
  std::array<Eigen::Vector3d, 4> p;
  for (std::size_t i = 0; i < 4; ++i) p[i] = cells.points[static_cast<std::size_t>(nodes[i])];
  return std::abs((p[1] - p[0]).cross(p[2] - p[0]).dot(p[3] - p[0])) / 6.0;
}

bool is_filling(const VolumeCells& cells, std::size_t tetrahedron) {
  return cells.of_cells.at("increment")(static_cast<Eigen::Index>(tetrahedron), 0) > 0;
}

}  // namespace

std::string on_top_of(const std::string& file, const std::string& over) {
  return fmt::format("base = \"{}/{}\"\n{}", SETSTRESS_TREND_CASES, file, over);
}

std::string bond_strength(double strength) {
  std::string text;
  for (const char* substrate :
       {"enamel", "coronal-dentin", "middle-dentin", "cervical-dentin", "radicular-dentin", "fixture"})
    text += fmt::format("[bond.strength.{0}]\ntensile = {1}\nshear = {1}\n", substrate, strength);
  return text;
}

double at_end(const SolvedCase& solved, const std::string& wall, const std::string& number) {
  return solved.bond_row(wall).at("end").at(number).get<double>();
}

double deflection(const SolvedCase& solved) {
  return solved.summary().at("cusp_deflection").at("end").at("both_um").get<double>();
}

StressAtWall stress_at_wall(const SolvedCase& solved, const std::string& wall, Side side) {
  const std::set<Position> on_wall = nodes_on(solved.bond(), wall);
  const VolumeCells cells = solved.volume();
  const Eigen::VectorXd principal = cells.of_cells.at("principal_stress").col(0);
  double peak = -1e300, sum = 0.0, volume = 0.0;
  for (std::size_t t = 0; t < cells.tetrahedra.size(); ++t) {
    const auto& nodes = cells.tetrahedra[t];
    if (is_filling(cells, t) != (side == Side::filling)) continue;
    if (std::count_if(nodes.begin(), nodes.begin() + 4, [&](int node) {
          return on_wall.contains(position_of(cells.points[static_cast<std::size_t>(node)]));
        }) < 3)
      continue;
    const double stress = principal(static_cast<Eigen::Index>(t)), share = volume_of(cells, nodes);
    peak = std::max(peak, stress);
    sum += share * stress;
    volume += share;
  }
  if (volume == 0.0) throw std::out_of_range("no element has a face on wall " + wall);
  return {peak, sum / volume};
}

Movement movement_of_filling(const SolvedCase& solved) {
  const VolumeCells cells = solved.volume();
  const Eigen::MatrixXd& displacement = cells.at_points.at("displacement");
  std::set<int> corners;
  for (std::size_t t = 0; t < cells.tetrahedra.size(); ++t)
    if (is_filling(cells, t)) corners.insert(cells.tetrahedra[t].begin(), cells.tetrahedra[t].begin() + 4);
  Movement movement;
  for (const int node : corners) {
    movement.points.push_back(cells.points[static_cast<std::size_t>(node)]);
    movement.displacements.emplace_back(displacement.row(node).transpose());
  }
  return movement;
}

double pearson(const std::vector<double>& x, const std::vector<double>& y) {
  const auto deviations = [](const std::vector<double>& values) {
    const Eigen::Map<const Eigen::VectorXd> all(values.data(), static_cast<Eigen::Index>(values.size()));
    return Eigen::VectorXd(all.array() - all.mean());
  };
  return deviations(x).normalized().dot(deviations(y).normalized());
}

}  // namespace setstress::testing
