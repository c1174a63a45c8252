#pragma once
// The setting filling: stress history and its response to a step of displacement and cure.

#include <Eigen/Core>
#include <array>
#include <vector>

#include "solver/body/chain_stress.hpp"
#include "solver/body/cure_field.hpp"
#include "solver/body/mean_volume.hpp"
#include "solver/element/tetrahedron.hpp"
#include "solver/linear/matrix/assembly_map.hpp"
#include "solver/model/frame.hpp"

namespace setstress {

/// Modulus and shrinkage of a step, by filling tetrahedron and stress point.
struct CureStep {
  std::vector<std::array<double, 4>> mean_modulus;  ///< over the conversion step [MPa]
  std::vector<std::array<double, 4>> end_modulus;   ///< at its end [MPa]
  std::vector<std::array<double, 4>> free_strain;   ///< linear, in this step [-], negative: shrinkage
  std::vector<std::array<ChainSteps, 4>> chains;    ///< of composites that are not plain; empty: all are
};

struct FillingTrial {
  std::vector<std::array<Vector6d, 4>> stress;             ///< [MPa]
  std::vector<Eigen::Matrix<double, 3, 10>> nodal_forces;  ///< [N]
  std::vector<std::array<ChainStresses, 4>> chains;        ///< [MPa]; empty where all composites are plain
  /// Of the step's change of volume, what met no stiffness of the point (mean_volume) [-]; empty likewise.
  std::vector<std::array<double, 4>> not_borne;
};

struct FillingEnergies {
  double elastic = 0;         ///< recoverable, at the end of the step [N mm]
  double set_in = 0;          ///< spent in this step because the filling stiffened under stress [N mm]
  double flow = 0;            ///< lost in this step as the filling flowed within and between points [N mm]
  double shrinkage_work = 0;  ///< done by the shrinkage of this step [N mm]
};

/// Indexed like CureField::filling(). From placement on, d(stress) = C(mean modulus) : (d(strain) - d(free
/// strain)); where a composite flows, this holds for each of its chains, which relax as well (chain_stress).
class Filling {
 public:
  Filling(const Model& model, const CureField& cure);

  [[nodiscard]] const NodeGroups& tetrahedra() const { return tetrahedra_; }

  void place(const std::vector<char>& placed);
  [[nodiscard]] bool is_placed(std::size_t i) const { return placed_[i] != 0; }

  /// Of the `duration` [s] in which conversion comes to `after`.
  [[nodiscard]] CureStep cure_step(const std::vector<CurePoints>& after, double duration) const;
  /// Of one tetrahedron in a step.
  [[nodiscard]] ElementModuli moduli(std::size_t i, const CureStep& step) const;
  /// `map`: of its tetrahedra.
  void add_stiffness(BlockMatrix& matrix, const AssemblyMap& map, const CureStep& step) const;
  [[nodiscard]] FillingTrial respond(const Eigen::VectorXd& displacement_step, const CureStep& step) const;
  FillingEnergies commit(FillingTrial trial, const CureStep& step);

  /// Stresses into the rows of `stress` (by tetrahedron of the mesh) that belong to it.
  void add_stress(std::vector<std::array<Vector6d, 4>>& stress) const;

 private:
  [[nodiscard]] bool is_plain(std::size_t i) const { return cure_.composite(i).is_plain(); }
  [[nodiscard]] Vector6d elastic_strain_step(std::size_t i, std::size_t point,
                                             const Eigen::Matrix<double, 3, 10>& moved,
                                             const CureStep& step) const;
  void respond_by_chains(std::size_t i, std::array<Vector6d, 4> elastic, const CureStep& step,
                         FillingTrial& trial) const;
  void add_plain(std::size_t i, std::size_t point, const Vector6d& now, const CureStep& step,
                 FillingEnergies& sum) const;
  void add_chains(std::size_t i, std::size_t point, const FillingTrial& trial, const CureStep& step,
                  FillingEnergies& sum) const;

  const Model& model_;
  const CureField& cure_;
  std::vector<TetrahedronGeometry> geometry_;
  NodeGroups tetrahedra_;
  std::vector<char> placed_;
  std::vector<std::array<Vector6d, 4>> stress_;
  std::vector<std::array<ChainStresses, 4>> chains_;  ///< empty where all composites are plain
  std::vector<std::array<double, 4>> modulus_;        ///< now [MPa]
};

}  // namespace setstress
