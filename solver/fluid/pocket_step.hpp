#pragma once
// The pressures of pockets in one step: unknowns beside the displacements, one a pocket. A full pocket keeps
// its fluid but for what leaves through the wall, gap_volume + push . step = fluid - duration conductance (p
// - pulp); one that is not full is at the lowest pressure. Both at once, for each: p >= lowest and volume >=
// fluid, one of them equal.

#include <Eigen/Core>
#include <vector>

#include "solver/fluid/gap_pockets.hpp"

namespace setstress {

class PocketStep {
 public:
  PocketStep() = default;
  /// `pockets` must outlive this and stay as they are.
  PocketStep(const std::vector<Pocket>& pockets, const GapFluid& law, double duration);

  [[nodiscard]] bool empty() const { return pockets_ == nullptr || pockets_->empty(); }
  /// Nodal forces of all pressures [N]; empty without pockets.
  [[nodiscard]] Eigen::VectorXd forces() const;
  /// Whether pressures and volumes agree at a displacement increment [mm]; a pocket that should be full, or
  /// should not, is changed to that first.
  [[nodiscard]] bool settle(const Eigen::VectorXd& step);

  /// Full pockets: their pressures are unknown.
  [[nodiscard]] const std::vector<std::size_t>& unknown() const { return unknown_; }
  [[nodiscard]] const std::vector<int>& points(std::size_t pocket) const {
    return (*pockets_)[pocket].points;
  }
  [[nodiscard]] const Eigen::VectorXd& push(std::size_t pocket) const { return (*pockets_)[pocket].push; }
  /// The bordered system by its Schur complement: `correction` [mm], found with pressures held, gets what
  /// their change adds, so that after step + correction all full pockets keep their fluid to round-off.
  /// `yields`: by entry of unknown(), the displacement under 1 MPa in it [mm/MPa].
  void correct(const Eigen::VectorXd& step, const std::vector<Eigen::VectorXd>& yields,
               Eigen::VectorXd& correction);

  /// Takes the step over into the pockets it was made of.
  void commit(const Eigen::VectorXd& step, std::vector<Pocket>& pockets) const;

 private:
  struct State {
    double pressure;  ///< [MPa]
    bool full;
  };
  [[nodiscard]] double outflow(std::size_t pocket) const;  ///< in the step [mm3]
  /// Volume without fluid at the end of the step [mm3].
  [[nodiscard]] double empty_volume(std::size_t pocket, const Eigen::VectorXd& step) const;
  void list_unknown();

  const std::vector<Pocket>* pockets_ = nullptr;
  GapFluid law_;
  double duration_ = 0;
  std::vector<State> states_;
  std::vector<std::size_t> unknown_;
};

}  // namespace setstress
