#pragma once
// One run in progress: the state at the last converged step, and how to take the next.

#include <chrono>
#include <memory>
#include <vector>

#include "solver/bond_correction.hpp"
#include "solver/bond_layer.hpp"
#include "solver/cure_field.hpp"
#include "solver/elastic_body.hpp"
#include "solver/filling.hpp"
#include "solver/linear_solver.hpp"
#include "solver/schedule.hpp"
#include "solver/shared_mesh.hpp"
#include "solver/simulate.hpp"
#include "solver/supports.hpp"

namespace setstress {

class Run {
 public:
  /// Everything must outlive this; `shared` must fit the model.
  Run(const Model& model, const SolveOptions& options, const SharedMesh& shared);

  /// Lays down increments and switches lamps. Changes no stress.
  void begin(const Event& event);
  /// Takes one step, not beyond `until` [s]; shorter steps are tried until one converges. Throws SolveError.
  void advance(double until);
  /// Loads that act at once at t = 0.
  void settle();

  [[nodiscard]] double time() const { return time_; }
  [[nodiscard]] Frame frame(const std::string& event) const;
  [[nodiscard]] const Timings& timings() const { return timings_; }
  /// |work in - energy found| over the work so far [-]; 0 before any work is done.
  [[nodiscard]] double energy_error() const;

 private:
  struct Trial;
  [[nodiscard]] double promising_step(double left) const;
  [[nodiscard]] bool attempt(double duration);
  void balance(Trial& trial, double now);
  void commit(Trial trial, double now);
  [[nodiscard]] Eigen::VectorXd internal_forces(const Trial& trial) const;
  void respond(Trial& trial, const BondStepTimes& times) const;
  [[nodiscard]] BondTangents assemble(const Trial& trial);
  [[nodiscard]] double allowed_residual(const Trial& trial) const;
  [[nodiscard]] bool is_hopeless(const Trial& trial, const std::vector<double>& out_of_balance) const;
  void correct(Trial& trial, const BondTangents& assembled, double wanted, double progress);
  [[nodiscard]] BondStepTimes step_times(double now) const;
  void update_free();
  [[nodiscard]] std::vector<std::array<BondPoint, 6>> bond_points(
      const std::vector<std::array<Vector6d, 4>>& stress) const;

  const Model& model_;
  SolveOptions options_;
  const SharedMesh& shared_;
  CureField cure_;
  ElasticBody body_;
  Filling filling_;
  BondLayer bond_;
  NodeGroups bond_groups_;
  BlockMatrix constant_;   ///< tissues and foundations
  BlockMatrix matrix_;     ///< of the present step
  double diagonal_ = 1.0;  ///< for decoupled degrees of freedom [N/mm]
  std::unique_ptr<LinearSystemSolver> solver_;
  std::vector<HeldComponent> held_;
  std::vector<char> active_;     ///< by node: part of a tissue or of placed filling
  std::vector<char> decoupled_;  ///< by degree of freedom: held, or its node not placed yet
  std::vector<char> placed_;     ///< by region
  bool light_on_ = false;

  double time_ = 0.0;         ///< [s]
  double event_ = 0.0;        ///< of the last event [s]
  double since_event_ = 0.0;  ///< [s]; steps are counted from there, see interval()
  Eigen::VectorXd displacement_, internal_, external_;
  FreeStrainLoad free_strain_;  ///< of the tissues or fixtures, now
  Eigen::VectorXd last_step_;   ///< displacement increment of the last step [mm]
  double last_duration_ = 0.0;  ///< and its duration [s]; 0: says nothing about the next
  Energies energies_;
  double next_step_ = 1e300;  ///< bound on the next step from the last one [s]
  mutable Timings timings_;
};

}  // namespace setstress
