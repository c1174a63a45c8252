#pragma once
// What pulls at a frame while it sets, cured alike throughout.

#include <array>
#include <memory>

#include "cases/fit/measurements.hpp"
#include "solver/body/chain_stress.hpp"

namespace setstress {

class SettingSpecimen {
 public:
  virtual ~SettingSpecimen() = default;
  /// From one cure state to the next, `duration` [s] later.
  virtual void step(const CureState& before, const CureState& after, double duration) = 0;
  /// Force over section [MPa].
  [[nodiscard]] virtual double stress() const = 0;
};

/// A bar whose sides are free and whose stress is uniform: exact.
class SettingBar : public SettingSpecimen {
 public:
  SettingBar(const Composite& composite, const MeasuredCurve& curve);
  void step(const CureState& before, const CureState& after, double duration) override;
  [[nodiscard]] double stress() const override { return sum(chains_)(2); }

 private:
  const Composite& composite_;
  double height_, yield_;  ///< [mm], of the frame over the section [MPa/mm]
  double elongation_ = 0;  ///< [mm]
  ChainStresses chains_ = no_stress();
};

/// A disc between plates to which it is bonded: displacements are polynomials over radius and height (Ritz),
/// among them those of an incompressible layer, so that paste that keeps its volume does not lock. It is
/// cured alike throughout, so that the stress of a chain is its moduli on some displacement of the same
/// polynomials, and coefficients are all there is to follow. Plates and films belong to the frame.
class SettingDisc : public SettingSpecimen {
 public:
  SettingDisc(const Composite& composite, const MeasuredCurve& curve);
  void step(const CureState& before, const CureState& after, double duration) override;
  [[nodiscard]] double stress() const override { return inner_(0); }

 private:
  /// What a chain bears [MPa]: shear and bulk modulus times displacement, and bulk modulus times free strain.
  struct Borne {
    Eigen::VectorXd shear, bulk;
    double free = 0;
  };
  [[nodiscard]] Eigen::VectorXd force(const Borne& borne) const;

  const Composite& composite_;
  double yield_;                  ///< stiffness of the frame over section, times height [MPa]
  Eigen::MatrixXd shear_, bulk_;  ///< energy by coefficients at a modulus of one, mean over the volume [-]
  Eigen::VectorXd dilation_;      ///< mean change of volume by coefficient [-]
  std::array<Borne, 3> chains_;
  Eigen::VectorXd displacement_;  ///< coefficients; the first is the mean axial strain, free strain included
  Eigen::VectorXd inner_;         ///< forces by coefficient [MPa]; the first is the axial stress
};

std::unique_ptr<SettingSpecimen> setting_specimen(const Composite& composite, const MeasuredCurve& curve);

}  // namespace setstress
