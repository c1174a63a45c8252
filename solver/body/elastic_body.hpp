#pragma once
// Everything that never changes: tissues or fixtures and the springs to the ground.

#include <Eigen/Core>
#include <array>
#include <vector>

#include "solver/element/tetrahedron.hpp"
#include "solver/linear/matrix/assembly_map.hpp"
#include "solver/model/frame.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// Those that are tissue or fixture, in the order of ElasticBody::tetrahedra().
std::vector<int> tissue_tetrahedra(const Mesh& mesh);

/// Elastic constants at a tetrahedron that is not filling; dentin by the level of its centroid.
const Elastic& elastic_at(const Model& model, const Tetrahedron& tetrahedron);

/// What the free strain of tissues or fixtures does at one instant.
struct FreeStrainLoad {
  Eigen::VectorXd forces;  ///< that would hold every node in place against it, reversed [N]
  double energy = 0;       ///< elastic energy if every node were held in place [N mm]
};

class ElasticBody {
 public:
  explicit ElasticBody(const Model& model);

  /// Node lists of its elements, for the graph.
  [[nodiscard]] const NodeGroups& tetrahedra() const { return tetrahedra_; }
  [[nodiscard]] const NodeGroups& foundation_facets() const { return foundation_facets_; }

  /// The maps are of tetrahedra() and foundation_facets().
  void add_stiffness(BlockMatrix& matrix, const AssemblyMap& body, const AssemblyMap& ground) const;

  /// Stresses [MPa] at `time` [s] into the rows of `stress` (by tetrahedron of the mesh) that belong to it.
  void add_stress(const Eigen::VectorXd& displacement, double time,
                  std::vector<std::array<Vector6d, 4>>& stress) const;

  [[nodiscard]] FreeStrainLoad free_strain_load(double time) const;

  /// Elastic energy of the foundations [N mm].
  [[nodiscard]] double support_energy(const Eigen::VectorXd& displacement) const;

 private:
  /// Of the four stress points [-].
  [[nodiscard]] std::array<double, 4> free_strain(const Tetrahedron& tetrahedron, double time) const;

  const Model& model_;
  std::vector<int> members_;                   ///< tetrahedra of the mesh
  std::vector<TetrahedronGeometry> geometry_;  ///< theirs
  NodeGroups tetrahedra_, foundation_facets_;
  std::vector<Eigen::Matrix<double, 18, 18>> foundation_stiffness_;
};

}  // namespace setstress
