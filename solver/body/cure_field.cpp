#include "solver/body/cure_field.hpp"

#include <algorithm>
#include <cmath>

#include "solver/element/tetrahedron.hpp"
#include "solver/machine/parallel.hpp"

namespace setstress {

CureField::CureField(const Model& model, const LightPaths& light)
    : model_(model), light_(light), filling_(filling_tetrahedra(model.mesh)) {
  states_.resize(filling_.size());
  irradiance_.assign(filling_.size(), {});
  placed_.assign(model.mesh.regions.size(), 0);
}

const Composite& CureField::composite(std::size_t filling_index) const {
  const Tetrahedron& tetrahedron = model_.mesh.tetrahedra[static_cast<std::size_t>(filling_[filling_index])];
  return std::get<Composite>(model_.materials[static_cast<std::size_t>(tetrahedron.region)]);
}

double CureField::attenuation(std::size_t region) const {
  const auto* composite = std::get_if<Composite>(&model_.materials[region]);
  if (composite == nullptr) return model_.tissue_attenuation;
  return placed_[region] ? composite->light.attenuation : 0.0;
}

void CureField::set_light(const std::vector<char>& placed, const std::vector<Exposure>& lit) {
  placed_ = placed;
  irradiance_.assign(filling_.size(), {});
  for (const Exposure& exposure : lit) {
    const LightPaths::Lengths& lengths = light_.towards_lamp(exposure.direction);
    parallel_for(filling_.size(), [&](std::size_t i) {
      for (std::size_t p = 0; p < 4; ++p) {
        double depth = 0.0;  // optical [-]
        for (std::size_t region = 0; region < placed_.size(); ++region)
          depth += attenuation(region) * lengths[i][p][region];
        irradiance_[i][p] += exposure.irradiance * (1.0 - composite(i).light.reflection) * std::exp(-depth);
      }
    });
  }
}

double CureField::safe_step(double largest_conversion_step) const {
  double fastest = 0.0;
#pragma omp parallel for schedule(static) reduction(max : fastest)
  for (std::size_t i = 0; i < filling_.size(); ++i) {
    const int region = model_.mesh.tetrahedra[static_cast<std::size_t>(filling_[i])].region;
    if (!placed_[static_cast<std::size_t>(region)]) continue;
    const CureLaw& law = composite(i).cure;
    for (std::size_t p = 0; p < 4; ++p) {
      const CureState& state = states_[i][p];
      const double lit = std::pow(irradiance_[i][p] / law.reference_irradiance, law.irradiance_exponent);
      const double drive = std::max(state.drive, irradiance_[i][p] > 0.0 ? lit : 0.0);
      if (drive > 0.0) fastest = std::max(fastest, drive * fastest_rate_ahead(law, state.conversion));
    }
  }
  return largest_conversion_step / std::max(fastest, 1e-300);
}

std::vector<CurePoints> CureField::advanced(double duration) const {
  std::vector<CurePoints> after = states_;
  parallel_for(filling_.size(), [&](std::size_t i) {
    const int region = model_.mesh.tetrahedra[static_cast<std::size_t>(filling_[i])].region;
    if (!placed_[static_cast<std::size_t>(region)]) return;
    for (std::size_t p = 0; p < 4; ++p)
      after[i][p] = advance(composite(i).cure, states_[i][p], irradiance_[i][p], duration);
  });
  return after;
}

}  // namespace setstress
