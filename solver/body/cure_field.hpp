#pragma once
// Light and conversion at every stress point of the filling.

#include <array>
#include <vector>

#include "solver/body/light_paths.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// One entry by stress point of one filling tetrahedron.
using CurePoints = std::array<CureState, 4>;

class CureField {
 public:
  /// Both must outlive this; `light` belongs to the model's mesh.
  CureField(const Model& model, const LightPaths& light);

  /// Tetrahedra of the filling, by mesh index; everything below is indexed in this order.
  [[nodiscard]] const std::vector<int>& filling() const { return filling_; }
  [[nodiscard]] const std::vector<CurePoints>& states() const { return states_; }
  /// By stress point, since set_light() [mW/cm2].
  [[nodiscard]] const std::vector<std::array<double, 4>>& irradiance() const { return irradiance_; }
  [[nodiscard]] const Composite& composite(std::size_t filling_index) const;

  /// Irradiance at every point from the exposures that are on, through what has been placed by now: along
  /// each lamp's direction I0 (1 - R) exp(-sum mu d), with R of the composite that the light enters first, mu
  /// d summed over the placed filling and the tissue on the way; times what is left at that distance from the
  /// lamp's tip, where it has one. `placed` by region. Throws std::out_of_range where that is not known.
  void set_light(const std::vector<char>& placed, const std::vector<Exposure>& lit);

  /// Longest step [s] in which no placed point can convert more than `largest_conversion_step` [-].
  [[nodiscard]] double safe_step(double largest_conversion_step) const;

  /// States after `duration` [s] under the present light; those not placed stay uncured.
  [[nodiscard]] std::vector<CurePoints> advanced(double duration) const;
  void commit(std::vector<CurePoints> states) { states_ = std::move(states); }

 private:
  [[nodiscard]] double attenuation(std::size_t region) const;
  /// Where each region ends towards the lamp; none where all composites reflect alike.
  [[nodiscard]] const LightPaths::Lengths* ends_where_it_matters(const Eigen::Vector3d& direction) const;
  [[nodiscard]] double reflection_first_met(const std::vector<double>& ends) const;
  [[nodiscard]] std::vector<std::array<double, 4>> kept_from_tip(const Exposure& exposure) const;

  const Model& model_;
  const LightPaths& light_;
  std::vector<int> filling_;
  std::vector<CurePoints> states_;
  std::vector<std::array<double, 4>> irradiance_;  ///< [mW/cm2]
  std::vector<char> placed_;                       ///< by region
};

}  // namespace setstress
