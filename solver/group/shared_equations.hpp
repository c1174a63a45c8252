#pragma once
// What the runs of a group have in common, in the order of lanes: mesh, tissues, and the run that leads.

#include <memory>

#include "solver/group/tissues.hpp"
#include "solver/lanes/lane_solver.hpp"
#include "solver/run/run.hpp"

namespace setstress {

/// What a step's matrix is made of, as LaneSolver::set_values() takes it.
std::vector<float> lane_moduli(const Run& run, const Trial& trial);
/// Once the trial was looked at.
std::vector<float> lane_bond(const Trial& trial);

/// In which order nodes are swept: as the two-level solver does, from neighbour to neighbour, or by color, so
/// that many may be swept at once.
enum class LaneOrder { neighbours, colors };

/// A group's matrices as lanes take them.
class SharedEquations {
 public:
  /// `shared` must outlive this.
  SharedEquations(const Model& model, const SharedMesh& shared, Tissues tissues = Tissues::one_for_all,
                  LaneOrder order = LaneOrder::neighbours);

  [[nodiscard]] const std::shared_ptr<const LaneMesh>& mesh() const { return mesh_; }
  /// As they are until the next increment is placed.
  [[nodiscard]] LaneEquations equations(const Run& run) const;
  [[nodiscard]] LaneSweeps sweeps(const BlockMatrix& matrix) const;
  /// Of the coarse matrix. Throws NotPositiveDefinite.
  [[nodiscard]] LaneFactor factor(const BlockMatrix& matrix);

  /// 3 numbers a node of the mesh, put into the order of lanes; and back, added.
  void to_lanes(const Eigen::VectorXd& by_node, std::vector<double>& by_place) const;
  void add_to_nodes(const std::vector<double>& by_place, Eigen::VectorXd& by_node) const;

 private:
  [[nodiscard]] int place(int node) const { return place_of_[static_cast<std::size_t>(node)]; }
  [[nodiscard]] int node_at(int place) const { return node_at_[static_cast<std::size_t>(place)]; }
  void order_by_color(const NodeGraph& graph, LaneMesh& mesh);
  void add_rows(LaneMesh& mesh, const SharedMesh& shared);
  void add_corners(LaneMesh& mesh) const;
  void add_elements(LaneMesh& mesh, const Model& model, const std::vector<int>& tetrahedra) const;
  void add_facets(LaneMesh& mesh, const Model& model) const;

  std::shared_ptr<const TwoLevelStructure> structure_;
  std::shared_ptr<const TissueMatrix> ground_;  ///< springs alone; null: with the tissues
  std::size_t filling_ = 0;                     ///< elements that are; the rest are tissues
  CoarseLevel coarse_;
  std::vector<int> node_at_, place_of_;                             ///< by place; by node
  std::vector<std::size_t> row_source_, tissue_source_, diagonal_;  ///< positions in matrices of the graph
  std::shared_ptr<const LaneMesh> mesh_;
};

}  // namespace setstress
