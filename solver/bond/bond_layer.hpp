#pragma once
// All facets of the bond together: history, today's properties, response to a displacement increment.

#include <Eigen/Core>
#include <array>
#include <vector>

#include "solver/bond/bond_law.hpp"
#include "solver/element/bond_element.hpp"
#include "solver/model/frame.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// Properties of the bond to every substrate of a wall at one instant, indexed by Substrate.
using BondToday = std::array<BondProperties, all_substrates.size()>;

/// Properties of `bond`, which matures by the laws of `adhesive`, `time` [s] after it was cured.
BondToday bond_at(const WallBond& bond, const Adhesive& adhesive, double time);

/// The properties of every facet of the bond at one instant.
class WholeBondToday {
 public:
  WholeBondToday(const Model& model, double time);
  /// `facet` is an index into Mesh::bond, `point` one of its six.
  [[nodiscard]] BondProperties at(std::size_t facet, std::size_t point) const;

 private:
  const Model& model_;
  std::vector<BondToday> by_wall_;
};

/// A step that is being tried, from the committed state.
struct BondTrial {
  std::vector<std::array<BondState, 6>> states;             ///< by facet
  std::vector<std::array<Eigen::Matrix3d, 6>> tangents;     ///< facet frame [MPa/mm]
  std::vector<Eigen::Matrix<double, 3, 6>> filling_forces;  ///< nodal forces on the filling side [N]
  double largest_softening = 0;                             ///< strength lost in the step, anywhere [-]
  bool softens = false;                                     ///< some point is past its strength
};

struct BondStepTimes {
  double before, now;   ///< [s]
  double viscous_time;  ///< [s]
  bool may_soften;
};

class BondLayer {
 public:
  /// Holds no facets if the mesh was built with a tied bond.
  explicit BondLayer(const Model& model);

  [[nodiscard]] bool empty() const { return facets_.empty(); }
  [[nodiscard]] const std::vector<int>& facets() const { return facets_; }  ///< indices into Mesh::bond

  /// Facets under filling that has been placed become active, free of traction.
  void place(const std::vector<char>& placed);
  [[nodiscard]] bool is_active(std::size_t facet) const { return active_[facet] != 0; }

  [[nodiscard]] BondTrial respond(const Eigen::VectorXd& displacement_step, const BondStepTimes& times) const;
  /// Takes over a converged trial and returns its energies [N mm].
  BondEnergies commit(BondTrial trial, const Eigen::VectorXd& displacement_step, const BondStepTimes& times);

  /// What a frame shows, `time` [s] after the bond was cured; by facet of the mesh.
  [[nodiscard]] std::vector<std::array<BondPoint, 6>> points(double time) const;
  [[nodiscard]] const FacetGeometry& geometry(std::size_t facet) const { return geometry_[facet]; }

 private:
  [[nodiscard]] BondStep step_at(std::size_t facet, int point, const Eigen::VectorXd& displacement_step,
                                 const WholeBondToday& before, const WholeBondToday& now,
                                 const BondStepTimes& times) const;

  const Model& model_;
  std::vector<int> facets_;
  std::vector<FacetGeometry> geometry_;
  std::vector<char> active_;
  std::vector<std::array<BondState, 6>> states_;
  std::vector<std::array<Eigen::Vector3d, 6>> jump_since_placement_;  ///< facet frame [mm]
};

/// A bond point from its traction in the facet frame; `state` null for a tied bond, whose traction comes from
/// the stress of the filling.
BondPoint bond_point(const Eigen::Vector3d& traction, const FacetGeometry& geometry,
                     const BondProperties& today, double maturity);

/// Gives the placed points of a bond that holds, by facet of the mesh, the strengths that the adhesive has
/// `time` [s] after it was cured, and the ratio that follows from their tractions.
void judge(const Model& model, double time, std::vector<std::array<BondPoint, 6>>& bond);

}  // namespace setstress
