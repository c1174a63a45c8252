#include "solver/bond/tied_balance.hpp"

#include <Eigen/SparseCholesky>
#include <map>
#include <stdexcept>

#include "solver/element/bond_element.hpp"
#include "solver/element/tetrahedron.hpp"

namespace setstress {
namespace {

/// Weight of the correction's gradient, in areas of a facet [-]: without it the correction swings from node
/// to node along sharp edges (95th percentile of a plug in a ring a quarter to a third too high where
/// elements are coarse). Forces of the whole stay in balance whatever it is.
constexpr double smoothing = 1.0;

using Tractions = std::vector<std::array<Eigen::Vector3d, 6>>;

/// Numbers of the nodes of tied facets.
std::map<int, int> numbers_of_nodes(const Model& model, const std::vector<std::size_t>& facets) {
  std::map<int, int> numbers;
  for (const std::size_t f : facets)
    for (const int node : model.mesh.bond[f].tooth) numbers.emplace(node, 0);
  int next = 0;
  for (auto& [node, number] : numbers) number = next++;
  return numbers;
}

/// Force with which the tooth side is pulled at each node [N], one row a node: what balances the filling.
Eigen::MatrixX3d pull_of_filling(const Model& model, const std::vector<char>& placed,
                                 const std::vector<std::array<Vector6d, 4>>& stress,
                                 const std::map<int, int>& numbers) {
  Eigen::MatrixX3d pull = Eigen::MatrixX3d::Zero(static_cast<Eigen::Index>(numbers.size()), 3);
  for (std::size_t t = 0; t < model.mesh.tetrahedra.size(); ++t) {
    const Tetrahedron& tetrahedron = model.mesh.tetrahedra[t];
    const auto region = static_cast<std::size_t>(tetrahedron.region);
    if (!model.mesh.regions[region].is_filling() || !placed[region]) continue;
    std::array<int, 10> at{};
    bool touches = false;
    for (std::size_t i = 0; i < 10; ++i) {
      const auto found = numbers.find(tetrahedron.nodes[i]);
      at[i] = found == numbers.end() ? -1 : found->second;
      touches = touches || at[i] >= 0;
    }
    if (!touches) continue;
    const Eigen::Matrix<double, 3, 10> forces = nodal_forces(geometry_of(model.mesh, tetrahedron), stress[t]);
    for (std::size_t i = 0; i < 10; ++i)
      if (at[i] >= 0) pull.row(at[i]) -= forces.col(static_cast<Eigen::Index>(i)).transpose();
  }
  return pull;
}

/// Whether a support or a pressure acts on a component of a node.
std::vector<std::array<bool, 3>> loaded_components(const Model& model, const std::map<int, int>& numbers) {
  std::vector<std::array<bool, 3>> loaded(numbers.size(), {false, false, false});
  const auto mark = [&](const std::string& name, const std::array<bool, 3>& components) {
    for (const Surface& surface : model.mesh.surfaces)
      if (surface.name == name)
        for (const SixNodes& facet : surface.facets)
          for (const int node : facet)
            if (const auto found = numbers.find(node); found != numbers.end())
              for (std::size_t c = 0; c < 3; ++c)
                loaded[static_cast<std::size_t>(found->second)][c] |= components[c];
  };
  for (const FixedSurface& hold : model.fixed) mark(hold.surface, hold.held);
  for (const Pressure& load : model.pressures) mark(load.surface, {true, true, true});
  for (const ElasticFoundation& springs : model.foundations) mark(springs.surface, {true, true, true});
  return loaded;
}

/// Solves mass * correction = residual for one component, zero where that component is loaded.
Eigen::VectorXd solved(const std::vector<Eigen::Triplet<double>>& mass, Eigen::VectorXd residual,
                       const std::vector<std::array<bool, 3>>& loaded, std::size_t component) {
  const auto is_loaded = [&](int node) { return loaded[static_cast<std::size_t>(node)][component]; };
  std::vector<Eigen::Triplet<double>> entries;
  for (const auto& entry : mass)
    if (!is_loaded(entry.row()) && !is_loaded(entry.col())) entries.push_back(entry);
  for (int node = 0; node < residual.size(); ++node)
    if (is_loaded(node)) {
      entries.emplace_back(node, node, 1.0);
      residual(node) = 0;
    }
  Eigen::SparseMatrix<double> matrix(residual.size(), residual.size());
  matrix.setFromTriplets(entries.begin(), entries.end());
  const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> factor(matrix);
  if (factor.info() != Eigen::Success)
    throw std::runtime_error("the tied bond's tractions cannot be balanced");
  return factor.solve(residual);
}

/// Gradients of the six shape functions in the plane of a facet, one row each [1/mm].
Eigen::Matrix<double, 6, 3> gradients_on(const Mesh& mesh, const SixNodes& facet,
                                         const std::array<double, 3>& at) {
  const auto corner = [&](std::size_t i) { return mesh.nodes[static_cast<std::size_t>(facet[i % 3])]; };
  const auto [area, normal] = area_and_normal(mesh, facet);
  std::array<Eigen::RowVector3d, 3> slope;  // of the barycentric coordinates
  for (std::size_t i = 0; i < 3; ++i)
    slope[i] = normal.cross(corner(i + 2) - corner(i + 1)).transpose() / (2 * area);
  Eigen::Matrix<double, 6, 3> gradients;
  for (std::size_t i = 0; i < 3; ++i) {
    const std::size_t j = (i + 1) % 3;
    gradients.row(static_cast<Eigen::Index>(i)) = (4 * at[i] - 1) * slope[i];
    gradients.row(static_cast<Eigen::Index>(i + 3)) = 4 * (at[i] * slope[j] + at[j] * slope[i]);
  }
  return gradients;
}

/// What one facet adds.
struct FacetSums {
  Eigen::Matrix<double, 6, 6> smooth_mass = Eigen::Matrix<double, 6, 6>::Zero();  ///< [mm2]
  Eigen::Matrix<double, 6, 3> force = Eigen::Matrix<double, 6, 3>::Zero();        ///< of its tractions [N]
};

FacetSums sums_over(const Mesh& mesh, const SixNodes& facet,
                    const std::array<Eigen::Vector3d, 6>& tractions) {
  const double area = geometry_of(mesh, facet).area;
  FacetSums sums;
  for (std::size_t p = 0; p < 6; ++p) {
    const auto& [at, share] = facet_points()[p];
    const Eigen::Matrix<double, 6, 1> shapes = triangle_shapes(at);
    const Eigen::Matrix<double, 6, 3> gradients = gradients_on(mesh, facet, at);
    sums.force += share * area * shapes * tractions[p].transpose();
    sums.smooth_mass +=
        share * area * (shapes * shapes.transpose() + smoothing * area * gradients * gradients.transpose());
  }
  return sums;
}

}  // namespace

std::vector<std::size_t> tied_facets(const Model& model, const std::vector<char>& placed) {
  std::vector<std::size_t> facets;
  for (std::size_t i = 0; i < model.mesh.bond.size(); ++i) {
    const BondFacet& facet = model.mesh.bond[i];
    const auto member = static_cast<std::size_t>(facet.filling_tetrahedron);
    if (facet.tooth == facet.filling &&
        placed[static_cast<std::size_t>(model.mesh.tetrahedra[member].region)])
      facets.push_back(i);
  }
  return facets;
}

void balance_tied(const Model& model, const std::vector<char>& placed,
                  const std::vector<std::array<Vector6d, 4>>& stress, const std::vector<std::size_t>& facets,
                  Tractions& tractions) {
  const std::map<int, int> numbers = numbers_of_nodes(model, facets);
  Eigen::MatrixX3d residual = pull_of_filling(model, placed, stress, numbers);
  std::vector<Eigen::Triplet<double>> smooth_mass;
  for (std::size_t i = 0; i < facets.size(); ++i) {
    const SixNodes& nodes = model.mesh.bond[facets[i]].tooth;
    const FacetSums sums = sums_over(model.mesh, nodes, tractions[i]);
    for (Eigen::Index a = 0; a < 6; ++a) {
      const int row = numbers.at(nodes[static_cast<std::size_t>(a)]);
      residual.row(row) -= sums.force.row(a);
      for (Eigen::Index b = 0; b < 6; ++b)
        smooth_mass.emplace_back(row, numbers.at(nodes[static_cast<std::size_t>(b)]), sums.smooth_mass(a, b));
    }
  }
  const auto loaded = loaded_components(model, numbers);
  Eigen::MatrixX3d correction(residual.rows(), 3);
  for (std::size_t c = 0; c < 3; ++c)
    correction.col(static_cast<Eigen::Index>(c)) =
        solved(smooth_mass, residual.col(static_cast<Eigen::Index>(c)), loaded, c);
  for (std::size_t i = 0; i < facets.size(); ++i)
    for (std::size_t p = 0; p < 6; ++p) {
      const Eigen::Matrix<double, 6, 1> shapes = triangle_shapes(facet_points()[p].barycentric);
      for (int a = 0; a < 6; ++a)
        tractions[i][p] +=
            shapes(a) *
            correction.row(numbers.at(model.mesh.bond[facets[i]].tooth[static_cast<std::size_t>(a)]))
                .transpose();
    }
}

}  // namespace setstress
