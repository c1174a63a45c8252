#pragma once
// The benchmark's sequence of linear systems: a filled tooth whose increments set one after the other while
// the bond matures and one wall lets go. Invented numbers, chosen to stress the solvers as a real run does.

#include <Eigen/Core>
#include <memory>
#include <vector>

#include "mesh/tetrahedra/mesh.hpp"
#include "solver/element/tetrahedron.hpp"
#include "solver/linear/matrix/assembly_map.hpp"
#include "solver/linear/matrix/block_matrix.hpp"

namespace setstress::bench {

/// 60 steps. Filling: 12 GPa times 0.001 to 1 by depth and step, the second increment from step 31. Bond:
/// springs of 100 + 1e5 x maturity N/mm3; those of the first wall lose 99 % from step 20 to 40. Load:
/// shrinkage of each step.
class Workload {
 public:
  static constexpr int steps = 60;

  /// Deep proximal box in two increments, meshed with elements of `bond_size` [mm] along the bond.
  explicit Workload(double bond_size);
  Workload(const Workload&) = delete;  // matrices refer to `graph`
  Workload& operator=(const Workload&) = delete;
  /// Its mesh alone.
  static Mesh mesh_of_size(double bond_size);
  /// Chooses the size so that the number of unknowns comes within about 10 %.
  static Workload of_about(int unknowns);
  /// The same with every stiffness full and the bond at 1e5 N/mm3: one ordinary elastic solve.
  void assemble_static(BlockMatrix& matrix) const;
  /// What assemble_step() fills again and again.
  [[nodiscard]] BlockMatrix begin_steps() const;
  void assemble_step(int step, BlockMatrix& matrix) const;
  [[nodiscard]] Eigen::VectorXd load(int step) const;

  [[nodiscard]] int unknowns() const { return 3 * graph.nodes; }
  [[nodiscard]] const Mesh& mesh() const { return mesh_; }

  NodeGraph graph;

 private:
  [[nodiscard]] double cure(int tetrahedron, int step) const;
  void add_filling(const std::vector<double>& modulus, BlockMatrix& matrix) const;
  void add_bond(double maturity, double first_wall, BlockMatrix& matrix) const;
  void hold_base();

  Mesh mesh_;
  std::vector<TetrahedronGeometry> geometry_;
  std::vector<int> filling_, tooth_;  ///< tetrahedra
  NodeGroups filling_groups_, tooth_groups_, bond_groups_;
  std::unique_ptr<AssemblyMap> filling_map_, bond_map_;
  std::unique_ptr<BlockMatrix> tooth_matrix_;  ///< held at the base; never changes
  std::vector<int> changing_nodes_;            ///< of filling and bond: all other rows are the tooth's alone
  std::vector<char> held_;
};

}  // namespace setstress::bench
