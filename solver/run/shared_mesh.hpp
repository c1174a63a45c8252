#pragma once
// What runs on the same mesh have in common, whatever their materials, plan and bond.

#include <memory>
#include <span>

#include "solver/body/light_paths.hpp"
#include "solver/linear/matrix/assembly_map.hpp"
#include "solver/linear/solve/two_level_structure.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// Made once from any model on the mesh, used by as many runs as wanted, one after the other or side by side
/// (in threads, or in processes forked afterwards): couplings, orders, analysis of the coarse matrix, light
/// paths. A run gives the same bits with a shared one as with one of its own.
class SharedMesh {
 public:
  /// Copies the mesh; the model may go. Throws as the solvers do.
  explicit SharedMesh(const Model& model);
  SharedMesh(const SharedMesh&) = delete;  // parts point to each other
  SharedMesh& operator=(const SharedMesh&) = delete;

  /// Throws std::invalid_argument for a model with another mesh or with springs to the ground elsewhere.
  void require_fits(const Model& model) const;

  [[nodiscard]] const NodeGraph& graph() const { return graph_; }
  [[nodiscard]] const LightPaths& light() const { return light_; }
  [[nodiscard]] const AssemblyMap& body() const { return body_; }        ///< as ElasticBody::tetrahedra()
  [[nodiscard]] const AssemblyMap& ground() const { return ground_; }    ///< as foundation_facets()
  [[nodiscard]] const AssemblyMap& filling() const { return filling_; }  ///< as Filling::tetrahedra()
  [[nodiscard]] const AssemblyMap& bond() const { return bond_; }        ///< as bond_groups()
  /// Nodes of tissues and springs to the ground: the only ones with rows in a matrix of these alone.
  [[nodiscard]] std::span<const int> lasting_nodes() const { return lasting_nodes_; }
  /// Nodes of fillings and bond: all other rows stay the same throughout a run.
  [[nodiscard]] std::span<const int> changing_nodes() const { return changing_nodes_; }
  /// Made when first asked for: the direct solver does without.
  [[nodiscard]] std::shared_ptr<const TwoLevelStructure> two_level() const;

 private:
  struct Groups;
  SharedMesh(const Model& model, const Groups& groups);

  Mesh mesh_;
  std::vector<std::string> founded_;  ///< surfaces on springs to the ground
  NodeGraph graph_;
  AssemblyMap body_, ground_, filling_, bond_;
  std::vector<int> lasting_nodes_, changing_nodes_;
  LightPaths light_;
  mutable std::mutex mutex_;
  mutable std::shared_ptr<const TwoLevelStructure> two_level_;
};

/// The twelve nodes of each bond facet that is a film, in the order of BondLayer::facets(): tooth, filling.
NodeGroups bond_groups(const Mesh& mesh);

}  // namespace setstress
