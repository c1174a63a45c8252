#include "tests/ladder/field_probe.hpp"

#include <limits>
#include <stdexcept>

#include "solver/element/tetrahedron.hpp"

namespace setstress::testing {

namespace {

Mesh geometry_only(const VolumeCells& volume) {
  Mesh mesh;
  mesh.nodes = volume.points;
  mesh.regions.resize(volume.regions.size());
  return mesh;
}

}  // namespace

FieldProbe::FieldProbe(VolumeCells volume) : volume_(std::move(volume)) {}

bool FieldProbe::in_region(std::size_t tetrahedron, const std::string& region) const {
  const auto index = volume_.of_cells.at("region")(static_cast<Eigen::Index>(tetrahedron), 0);
  return region.empty() || volume_.regions.at(static_cast<std::size_t>(index)) == region;
}

int FieldProbe::nearest_node(const Eigen::Vector3d& point, const std::string& region, int of_each) const {
  int nearest = -1;
  double distance = std::numeric_limits<double>::infinity();
  for (std::size_t t = 0; t < volume_.tetrahedra.size(); ++t) {
    if (!in_region(t, region)) continue;
    for (int n = 0; n < of_each; ++n) {
      const int node = volume_.tetrahedra[t][static_cast<std::size_t>(n)];
      const double away = (volume_.points[static_cast<std::size_t>(node)] - point).norm();
      if (away >= distance) continue;
      distance = away;
      nearest = node;
    }
  }
  if (nearest < 0) throw std::invalid_argument("there is no region \"" + region + "\" in the file");
  return nearest;
}

Eigen::Vector3d FieldProbe::nearest(const Eigen::Vector3d& point, const std::string& region) const {
  return volume_.points[static_cast<std::size_t>(nearest_node(point, region, 10))];
}

Eigen::Vector3d FieldProbe::displacement(const Eigen::Vector3d& point, const std::string& region) const {
  return volume_.at_points.at("displacement").row(nearest_node(point, region, 10)).transpose();
}

Vector6d FieldProbe::stress(const Eigen::Vector3d& point, const std::string& region,
                            const Elasticity& elasticity) const {
  const int node = nearest_node(point, region, 4);
  const Mesh mesh = geometry_only(volume_);
  const Eigen::MatrixXd& displacement = volume_.at_points.at("displacement");
  const double free = elasticity.free_strain(mesh.nodes[static_cast<std::size_t>(node)]);
  Vector6d sum = Vector6d::Zero();
  double volume = 0;
  for (std::size_t t = 0; t < volume_.tetrahedra.size(); ++t) {
    if (!in_region(t, region)) continue;
    const Tetrahedron tetrahedron{volume_.tetrahedra[t], 0};
    Eigen::Matrix<double, 3, 10> moved;
    Eigen::Vector4d corner = Eigen::Vector4d::Zero();
    for (int n = 0; n < 10; ++n) {
      moved.col(n) = displacement.row(tetrahedron.nodes[static_cast<std::size_t>(n)]).transpose();
      if (n < 4 && tetrahedron.nodes[static_cast<std::size_t>(n)] == node) corner(n) = 1;
    }
    if (corner.sum() == 0) continue;
    const TetrahedronGeometry geometry = geometry_of(mesh, tetrahedron);
    Vector6d elastic = strain(shape_gradients(geometry, corner), moved);
    elastic.head<3>().array() -= free;
    sum += geometry.volume * elastic_stress(elasticity.youngs_modulus, elasticity.poisson_ratio, elastic);
    volume += geometry.volume;
  }
  return sum / volume;
}

std::vector<Vector6d> FieldProbe::cell_stresses(const std::string& region) const {
  std::vector<Vector6d> stresses;
  const Eigen::MatrixXd& stress = volume_.of_cells.at("stress");
  for (std::size_t t = 0; t < volume_.tetrahedra.size(); ++t)
    if (in_region(t, region)) stresses.emplace_back(stress.row(static_cast<Eigen::Index>(t)).transpose());
  return stresses;
}

}  // namespace setstress::testing
