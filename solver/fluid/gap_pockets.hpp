#pragma once
// Enclosed gaps that hold fluid, between two steps: which they are, and what is in them.

#include <Eigen/Core>
#include <vector>

#include "solver/gaps/gap_finder.hpp"
#include "solver/model/frame.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// Gaps of a smaller share of the bond that has let go than this hold no pressure: a choice, for speed [-].
inline constexpr double smallest_pocket = 0.02;

/// One enclosed gap. The fluid presses on both faces, all over it: flow inside a gap is instant.
struct Pocket {
  std::vector<int> points;  ///< facet points, 6 facet + point
  double area = 0;          ///< [mm2]
  double drained = 0;       ///< area through which fluid can pass [mm2]
  double conductance = 0;   ///< of all of it [mm3/(s MPa)]
  Eigen::VectorXd push;     ///< nodal forces of 1 MPa [N/MPa]: the gradient of its volume [mm2]
  double gap_volume = 0;    ///< [mm3]; parts pressed shut count below zero, by what their film gives way
  double fluid = 0;         ///< [mm3]
  double pressure = 0;      ///< relative to outside [MPa]
  double outflow = 0;       ///< through the wall, in the last step [mm3/s]
  bool full = false;        ///< holds as much fluid as volume; otherwise at its lowest pressure
  bool air = false;         ///< beside the fluid, or would come back: no pressure below that outside
  [[nodiscard]] double lowest(const GapFluid& law) const { return air ? 0.0 : law.lowest_pressure; }
};

class GapPockets {
 public:
  /// The model, which must outlive this, must have a gap_fluid.
  explicit GapPockets(const Model& model);

  /// Finds the gaps that are enclosed now, fills those that are new, and hands on what was in those that grew
  /// or merged. Gaps that are open to the margin hold none. Reads `time`, `placed` and `bond` of the frame.
  void renew(const Frame& frame);
  [[nodiscard]] const std::vector<Pocket>& pockets() const { return pockets_; }
  [[nodiscard]] std::vector<Pocket>& pockets() { return pockets_; }
  [[nodiscard]] std::vector<GapPocket> told() const;

 private:
  [[nodiscard]] Pocket pocket_of(const Gap& gap, const Frame& frame) const;
  void take_over(const std::vector<Pocket>& before, Pocket& pocket) const;

  const Model& model_;
  GapFinder finder_;
  std::vector<Pocket> pockets_;
};

}  // namespace setstress
