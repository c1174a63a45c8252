#include "solver/bench/workload.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "mesh/build/build_mesh.hpp"
#include "solver/run/coarse_parents.hpp"

namespace setstress::bench {

namespace {

constexpr double tooth_modulus = 18e3, filling_modulus = 12e3, nu = 0.3;  // [MPa], [-]
constexpr double bond_stiffness = 1e5;                                    // [N/mm3]

ToothCase deep_box() {
  ToothCase tooth;
  tooth.preparation.kind = Preparation::Kind::proximal_box;
  const double top = tooth.tooth.crown_height, floor = top - tooth.preparation.depth;
  tooth.layout =
      horizontal_layers(floor, top, {0.5 * tooth.preparation.depth, 0.5 * tooth.preparation.depth});
  return tooth;
}

}  // namespace

Workload Workload::of_about(int unknowns) {
  double size = 0.42 * std::pow(41'600.0 / unknowns, 1 / 1.775);  // as found on these meshes
  for (int trial = 0; trial < 3; ++trial) {
    const auto found = static_cast<double>(build_mesh(deep_box(), fineness(size)).unknowns());
    if (std::abs(found - unknowns) < 0.1 * unknowns) break;
    size *= std::pow(found / unknowns, 1 / 1.9);
  }
  return Workload(size);
}

Mesh Workload::mesh_of_size(double bond_size) {
  return build_mesh(deep_box(), fineness(bond_size));
}

Workload::Workload(double bond_size) {
  mesh_ = mesh_of_size(bond_size);
  for (std::size_t t = 0; t < mesh_.tetrahedra.size(); ++t) {
    const Tetrahedron& tetrahedron = mesh_.tetrahedra[t];
    const bool is_filling = mesh_.regions[static_cast<std::size_t>(tetrahedron.region)].is_filling();
    (is_filling ? filling_ : tooth_).push_back(static_cast<int>(t));
    (is_filling ? filling_groups_ : tooth_groups_).add(tetrahedron.nodes);
    geometry_.push_back(geometry_of(mesh_, tetrahedron));
  }
  for (const BondFacet& facet : mesh_.bond)
    for (std::size_t i = 0; i < 6; ++i) bond_groups_.add(std::array{facet.tooth[i], facet.filling[i]});
  graph = make_node_graph(mesh_.nodes, std::array{tooth_groups_, filling_groups_, bond_groups_},
                          coarse_parents(mesh_));
  filling_map_ = std::make_unique<AssemblyMap>(graph, filling_groups_);
  bond_map_ = std::make_unique<AssemblyMap>(graph, bond_groups_);
  hold_base();
  tooth_matrix_ = std::make_unique<BlockMatrix>(graph);
  changing_nodes_ = nodes_in(std::array{filling_groups_, bond_groups_});
  const AssemblyMap tooth_map(graph, tooth_groups_);
  tooth_map.for_each([&](int g) {
    const auto t = static_cast<std::size_t>(tooth_[static_cast<std::size_t>(g)]);
    tooth_map.add(*tooth_matrix_, g,
                  stiffness(geometry_[t], {tooth_modulus, tooth_modulus, tooth_modulus, tooth_modulus}, nu));
  });
  decouple(*tooth_matrix_, held_, 1e4);
}

void Workload::hold_base() {
  held_.assign(3 * mesh_.nodes.size(), 0);
  for (const Surface& surface : mesh_.surfaces)
    if (surface.name == "base")
      for (const SixNodes& facet : surface.facets)
        for (const int node : facet) std::fill_n(held_.begin() + 3 * node, 3, char{1});
}

double Workload::cure(int tetrahedron, int step) const {
  const Tetrahedron& tet = mesh_.tetrahedra[static_cast<std::size_t>(tetrahedron)];
  const int start = 30 * mesh_.regions[static_cast<std::size_t>(tet.region)].increment;
  const double depth = 6.0 - position(mesh_, tet, Eigen::Vector4d::Constant(0.25)).z();
  return 1 - std::exp(-0.15 * std::max(0, step - start) * std::exp(-0.3 * depth));
}

void Workload::add_filling(const std::vector<double>& modulus, BlockMatrix& matrix) const {
  filling_map_->for_each([&](int g) {
    const double e = modulus[static_cast<std::size_t>(g)];
    const auto t = static_cast<std::size_t>(filling_[static_cast<std::size_t>(g)]);
    filling_map_->add(matrix, g, stiffness(geometry_[t], {e, e, e, e}, nu));
  });
}

void Workload::add_bond(double maturity, double first_wall, BlockMatrix& matrix) const {
  bond_map_->for_each([&](int g) {
    const BondFacet& facet = mesh_.bond[static_cast<std::size_t>(g / 6)];
    const double share = area_and_normal(mesh_, facet.tooth).area / 6;
    const double stiffness = (100 + bond_stiffness * maturity) * share * (facet.wall == 0 ? first_wall : 1);
    Eigen::Matrix<double, 6, 6> spring = stiffness * Eigen::Matrix<double, 6, 6>::Identity();
    spring.topRightCorner<3, 3>() = spring.bottomLeftCorner<3, 3>() =
        -stiffness * Eigen::Matrix3d::Identity();
    bond_map_->add(matrix, g, spring);
  });
}

void Workload::assemble_static(BlockMatrix& matrix) const {
  matrix = *tooth_matrix_;
  add_filling(std::vector<double>(filling_.size(), filling_modulus), matrix);
  add_bond(1, 1, matrix);
  decouple(matrix, changing_nodes_, held_, 1e4);
}

BlockMatrix Workload::begin_steps() const {
  return *tooth_matrix_;
}

void Workload::assemble_step(int step, BlockMatrix& matrix) const {
  copy_rows(*tooth_matrix_, changing_nodes_, matrix);
  std::vector<double> modulus(filling_.size());
#pragma omp parallel for schedule(static)
  for (std::size_t g = 0; g < modulus.size(); ++g)
    modulus[g] = filling_modulus * (0.001 + 0.999 * std::pow(cure(filling_[g], step), 2));
  add_filling(modulus, matrix);
  add_bond(1 - std::exp(-0.1 * step), 1 - 0.99 * std::clamp((step - 20) / 20.0, 0.0, 1.0), matrix);
  decouple(matrix, changing_nodes_, held_, 1e4);
}

Eigen::VectorXd Workload::load(int step) const {
  Eigen::VectorXd result = Eigen::VectorXd::Zero(unknowns());
  for (const int t : filling_) {
    const double shrinkage = -0.008 * (cure(t, step) - cure(t, step - 1));
    const double modulus = filling_modulus * (0.001 + 0.999 * std::pow(cure(t, step), 2));
    Vector6d strain = Vector6d::Zero();
    strain.head<3>().setConstant(shrinkage);
    const Vector6d stress = elastic_stress(modulus, nu, strain);
    const auto force = nodal_forces(geometry_[static_cast<std::size_t>(t)], {stress, stress, stress, stress});
    for (std::size_t i = 0; i < 10; ++i)
      result.segment<3>(3 * mesh_.tetrahedra[static_cast<std::size_t>(t)].nodes[i]) +=
          force.col(static_cast<int>(i));
  }
  for (Eigen::Index i = 0; i < result.size(); ++i)
    if (held_[static_cast<std::size_t>(i)]) result(i) = 0;
  return result;
}

}  // namespace setstress::bench
