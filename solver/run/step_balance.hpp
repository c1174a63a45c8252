#pragma once
// The equations of one step: what is tried, the forces it leaves out of balance, and Newton's way to balance.

#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "solver/body/elastic_body.hpp"
#include "solver/body/filling.hpp"
#include "solver/body/supports.hpp"
#include "solver/bond/bond_correction.hpp"
#include "solver/bond/bond_layer.hpp"
#include "solver/fluid/pocket_step.hpp"
#include "solver/linear/solve/linear_solver.hpp"
#include "solver/run/shared_mesh.hpp"
#include "solver/run/simulate.hpp"

namespace setstress {

/// Share of the viscous time below which a step is an instant, in which the bond may soften at will [-].
inline constexpr double instant = 0.02;

/// A step that is being tried.
struct Trial {
  double duration;
  std::vector<CurePoints> cured;
  CureStep cure;
  Eigen::VectorXd step;        ///< displacement increment [mm]
  Eigen::VectorXd external;    ///< at the end of the step [N]
  Eigen::VectorXd loads;       ///< the share of it that does not depend on the step [N]
  PocketStep pockets;          ///< of the fluid in gaps, whose pressures are the rest
  Eigen::VectorXd bitten;      ///< share of it that is bites [N]; empty: there are none
  FreeStrainLoad free_strain;  ///< at the end of the step
  FillingTrial filling;
  BondTrial bond;
  Eigen::VectorXd constant;            ///< forces of tissues and foundations, at the end of the step [N]
  Eigen::VectorXd internal;            ///< at the end of the step [N]
  Eigen::VectorXd residual;            ///< external less internal where nothing is prescribed [N]
  std::vector<double> out_of_balance;  ///< length of `residual` [N], by iteration
  double allowed = 0;                  ///< length that counts as balanced [N]
  int iterations = 0;
  bool balanced = false;
};

/// What never changes of the matrix: tissues and foundations. Runs of one group share it.
struct TissueMatrix {
  BlockMatrix matrix;
  double diagonal;  ///< mean of its diagonal, for degrees of freedom that are decoupled [N/mm]
};
std::shared_ptr<const TissueMatrix> tissue_matrix(const ElasticBody& body, const SharedMesh& shared);

/// Finds the displacement increment at which a trial is in balance. Reads the state of the bodies at the last
/// converged step, all of which must outlive this; what the trial does to it is the trial's.
class StepBalance {
 public:
  StepBalance(const Model& model, const SolveOptions& options, const SharedMesh& shared,
              std::shared_ptr<const TissueMatrix> tissues, const Filling& filling, const BondLayer& bond,
              Timings& timings);

  /// Takes what is held or not placed yet out of the equations. `active`: by node, part of a tissue or of
  /// placed filling.
  void restrict_to(const std::vector<char>& active, const std::vector<HeldComponent>& held);
  /// Iterates on `trial.step` from where it is, `displacement` [mm] being that of the last converged step;
  /// `trial.balanced` says whether balance was found.
  void find(Trial& trial, const Eigen::VectorXd& displacement, const BondStepTimes& times);
  /// Forces of tissues and foundations at displacements `moved`, for look_on(): of many runs at once.
  void tissue_forces(std::span<const Eigen::VectorXd> moved, std::span<Eigen::VectorXd* const> forces) const;
  /// look() where `trial.constant` is known already.
  bool look_on(Trial& trial, const Eigen::VectorXd& displacement, const BondStepTimes& times) const;
  /// One look at where `trial.step` is: true if that is balance, or if there is no hope of it.
  bool look(Trial& trial, const Eigen::VectorXd& displacement, const BondStepTimes& times) const;
  /// Relative residual to which a linear step had better be solved that is as far out of balance as `trial`.
  [[nodiscard]] double worthwhile_tolerance(const Trial& trial) const;
  /// The matrix of a step in which the bond holds, as `trial` has it.
  const BlockMatrix& matrix_of(const Trial& trial);

  [[nodiscard]] const std::shared_ptr<const TissueMatrix>& tissues() const { return tissues_; }
  [[nodiscard]] const std::vector<char>& decoupled() const { return decoupled_; }

 private:
  void respond(Trial& trial, const BondStepTimes& times) const;
  void fill_whole_matrix();
  LinearSystemSolver& solver();
  [[nodiscard]] Eigen::VectorXd internal_forces(const Trial& trial) const;
  [[nodiscard]] double allowed_residual(const Trial& trial, const Eigen::VectorXd& displacement) const;
  [[nodiscard]] bool is_hopeless(const Trial& trial) const;
  [[nodiscard]] BondTangents assemble(const Trial& trial);
  void correct(Trial& trial, const BondTangents& assembled);
  LinearOutcome solve(const Trial& trial, const BondTangents& assembled, const Eigen::VectorXd& forces,
                      double tolerance, Eigen::VectorXd& moved);
  [[nodiscard]] bool has_yields(const PocketStep& pockets) const;
  void find_yields(const Trial& trial, const BondTangents& assembled);

  const Model& model_;
  const SolveOptions& options_;
  const SharedMesh& shared_;
  const Filling& filling_;
  const BondLayer& bond_;
  Timings& timings_;
  NodeGroups bond_groups_;
  std::shared_ptr<const TissueMatrix> tissues_;
  std::optional<BlockMatrix> matrix_;           ///< of the present step; none until one is assembled
  std::vector<char> decoupled_;                 ///< by degree of freedom: held, or its node not placed yet
  std::unique_ptr<LinearSystemSolver> solver_;  ///< none until one is needed
  std::vector<Eigen::VectorXd> yields_;         ///< to 1 MPa in pockets that were unknown last [mm/MPa]
  std::vector<std::vector<int>> yields_of_;     ///< and the facet points of these pockets
};

}  // namespace setstress
