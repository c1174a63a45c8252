#include "solver/body/placement.hpp"

#include <Eigen/IterativeLinearSolvers>
#include <Eigen/SparseCore>
#include <stdexcept>

#include "solver/element/tetrahedron.hpp"

namespace setstress {
namespace {

using Triplets = std::vector<Eigen::Triplet<double>>;

/// Adds one tetrahedron to the problem of the free nodes (`row` >= 0); known displacements go to the
/// right-hand side.
void add_tetrahedron(const Model& model, const Tetrahedron& tetrahedron, const std::vector<int>& row,
                     const Eigen::VectorXd& displacement, Triplets& entries, Eigen::VectorXd& rhs) {
  const Matrix30d k = stiffness(geometry_of(model.mesh, tetrahedron), {1.0, 1.0, 1.0, 1.0}, 0.3);
  for (int a = 0; a < 10; ++a) {
    const int i = row[static_cast<std::size_t>(tetrahedron.nodes[static_cast<std::size_t>(a)])];
    if (i < 0) continue;
    for (int b = 0; b < 10; ++b) {
      const int node = tetrahedron.nodes[static_cast<std::size_t>(b)];
      const int j = row[static_cast<std::size_t>(node)];
      if (j < 0)
        rhs.segment<3>(3 * i) -= k.block<3, 3>(3 * a, 3 * b) * displacement.segment<3>(3 * node);
      else
        for (int c = 0; c < 9; ++c)
          entries.emplace_back(3 * i + c / 3, 3 * j + c % 3, k(3 * a + c / 3, 3 * b + c % 3));
    }
  }
}

bool belongs_to(const Model& model, int tetrahedron, int increment) {
  const int region = model.mesh.tetrahedra[static_cast<std::size_t>(tetrahedron)].region;
  return model.mesh.regions[static_cast<std::size_t>(region)].increment == increment;
}

/// New nodes on the walls follow the tooth.
void lay_on_walls(const Model& model, int increment, std::vector<char>& active,
                  Eigen::VectorXd& displacement) {
  for (const BondFacet& facet : model.mesh.bond) {
    if (!belongs_to(model, facet.filling_tetrahedron, increment)) continue;
    for (std::size_t i = 0; i < 6; ++i) {
      char& known = active[static_cast<std::size_t>(facet.filling[i])];
      if (known) continue;
      displacement.segment<3>(3 * facet.filling[i]) = displacement.segment<3>(3 * facet.tooth[i]);
      known = 1;
    }
  }
}

}  // namespace

void place_on_deformed_shape(const Model& model, int increment, std::vector<char>& active,
                             Eigen::VectorXd& displacement) {
  lay_on_walls(model, increment, active, displacement);
  std::vector<int> row(model.mesh.nodes.size(), -1), free_nodes;
  std::vector<const Tetrahedron*> members;
  for (std::size_t t = 0; t < model.mesh.tetrahedra.size(); ++t) {
    if (!belongs_to(model, static_cast<int>(t), increment)) continue;
    members.push_back(&model.mesh.tetrahedra[t]);
    for (const int node : members.back()->nodes)
      if (!active[static_cast<std::size_t>(node)] && row[static_cast<std::size_t>(node)] < 0) {
        row[static_cast<std::size_t>(node)] = static_cast<int>(free_nodes.size());
        free_nodes.push_back(node);
      }
  }
  if (free_nodes.empty()) return;
  for (const int node : free_nodes) active[static_cast<std::size_t>(node)] = 1;
  if (displacement.cwiseAbs().maxCoeff() == 0.0) return;  // laid on an undeformed shape

  Triplets entries;
  Eigen::VectorXd rhs = Eigen::VectorXd::Zero(3 * static_cast<Eigen::Index>(free_nodes.size()));
  for (const Tetrahedron* tetrahedron : members)
    add_tetrahedron(model, *tetrahedron, row, displacement, entries, rhs);
  Eigen::SparseMatrix<double> matrix(rhs.size(), rhs.size());
  matrix.setFromTriplets(entries.begin(), entries.end());
  Eigen::ConjugateGradient<Eigen::SparseMatrix<double>, Eigen::Lower | Eigen::Upper> solver(matrix);
  solver.setTolerance(1e-8);
  const Eigen::VectorXd laid = solver.solve(rhs);
  if (solver.info() != Eigen::Success)
    throw std::runtime_error(
        "the shape on which an increment is laid down could not be found (conjugate gradients)");
  for (std::size_t i = 0; i < free_nodes.size(); ++i)
    displacement.segment<3>(3 * free_nodes[i]) = laid.segment<3>(3 * static_cast<Eigen::Index>(i));
}

}  // namespace setstress
