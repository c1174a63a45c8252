#pragma once
// One run in progress: the state at the last converged step, and how to take the next.

#include <optional>
#include <vector>

#include "solver/body/contact_patch.hpp"
#include "solver/body/cure_field.hpp"
#include "solver/body/elastic_body.hpp"
#include "solver/body/filling.hpp"
#include "solver/body/supports.hpp"
#include "solver/bond/bond_layer.hpp"
#include "solver/fluid/gap_pockets.hpp"
#include "solver/run/schedule.hpp"
#include "solver/run/shared_mesh.hpp"
#include "solver/run/simulate.hpp"
#include "solver/run/step_balance.hpp"

namespace setstress {

class Run {
 public:
  /// Everything must outlive this; `shared` must fit the model. `alike`: a run with the same tissues, whose
  /// matrix serves both; null: none.
  Run(const Model& model, const SolveOptions& options, const SharedMesh& shared, const Run* alike = nullptr);

  /// Lays down increments and switches lamps. Changes no stress.
  void begin(const Event& event);
  /// Takes one step, not beyond `until` [s]; shorter steps are tried until one converges. Throws SolveError.
  void advance(double until);
  /// Loads that act at once at t = 0.
  void settle();

  // The same step in parts, for runs that advance together while their bonds hold: propose() one, look() at
  // it and add to its displacements until that says true, accept() it. Where it is not balanced then,
  // advance().
  [[nodiscard]] Trial propose(double until) const;
  /// `trial.constant` has to be there: balance().tissue_forces() at moved().
  [[nodiscard]] bool look(Trial& trial) const {
    return balance_.look_on(trial, displacement_, step_times(end_of(trial)));
  }
  [[nodiscard]] Eigen::VectorXd moved(const Trial& trial) const { return displacement_ + trial.step; }
  void accept(Trial trial, double until);
  /// Takes a step that nobody balances, and returns its matrix: what a run of this model is like by then.
  const BlockMatrix& lead(double until);
  [[nodiscard]] const StepBalance& balance() const { return balance_; }
  [[nodiscard]] const Filling& filling() const { return filling_; }
  [[nodiscard]] const BondLayer& bond() const { return bond_; }
  [[nodiscard]] Timings& timings() { return timings_; }

  [[nodiscard]] double time() const { return time_; }
  [[nodiscard]] Frame frame(const std::string& event) const;
  [[nodiscard]] const Timings& timings() const { return timings_; }
  /// |work in - energy found| over the work so far [-]; 0 before any work is done.
  [[nodiscard]] double energy_error() const;

 private:
  [[nodiscard]] Eigen::VectorXd bite_forces(double now) const;
  [[nodiscard]] std::shared_ptr<const TissueMatrix> tissues_of(const Run* alike) const;
  void fill_gaps();
  [[nodiscard]] double promising_step(double left) const;
  [[nodiscard]] Trial begun(double duration) const;
  [[nodiscard]] bool attempt(double duration);
  [[nodiscard]] double end_of(const Trial& trial) const { return event_ + (since_event_ + trial.duration); }
  void hit(double until);
  void commit(Trial trial, double now);
  [[nodiscard]] BondStepTimes step_times(double now) const;
  [[nodiscard]] std::vector<std::array<BondPoint, 6>> bond_points(
      const std::vector<std::array<Vector6d, 4>>& stress) const;

  const Model& model_;
  SolveOptions options_;
  mutable Timings timings_;
  const SharedMesh& shared_;
  CureField cure_;
  ElasticBody body_;
  Filling filling_;
  BondLayer bond_;
  std::vector<HeldComponent> held_;
  std::vector<ContactPatch> contacts_;  ///< by bite
  std::vector<char> active_;            ///< by node: part of a tissue or of placed filling
  std::vector<char> placed_;            ///< by region
  std::optional<GapPockets> pockets_;   ///< from the instant on at which fluid fills gaps
  StepBalance balance_;
  bool light_on_ = false;

  double time_ = 0.0;         ///< [s]
  double event_ = 0.0;        ///< of the last event [s]
  double since_event_ = 0.0;  ///< [s]; steps are counted from there, see interval()
  Eigen::VectorXd displacement_, internal_, external_;
  Eigen::VectorXd bitten_;      ///< share of external_ that is bites [N]; empty: there are none
  Eigen::VectorXd wetted_;      ///< share of external_ that is pressures of fluid [N]; empty: there are none
  FreeStrainLoad free_strain_;  ///< of the tissues or fixtures, now
  Eigen::VectorXd last_step_;   ///< displacement increment of the last step [mm]
  double last_duration_ = 0.0;  ///< and its duration [s]; 0: says nothing about the next
  Energies energies_;
  double longest_step_ = 1e300;  ///< until the next event [s]
  double next_step_ = 1e300;     ///< bound on the next step from the last one [s]
};

}  // namespace setstress
