#include "solver/body/cure_field.hpp"

#include <algorithm>
#include <cmath>

#include "solver/element/tetrahedron.hpp"
#include "solver/machine/parallel.hpp"

namespace setstress {
namespace {

/// Largest da/dt per unit of drive at relative conversions from `a` on: the peak of (a + seed)^m (1 - a)^n
/// while it is still ahead, the present value after it.
double fastest_rate_ahead(const CureLaw& law, double a) {
  const double m = law.order_growth, n = law.order_depletion;
  const double peak = std::max((m - n * law.seed) / (m + n), 0.0);
  return cure_rate(law, std::max(a, peak), 1.0);
}

}  // namespace

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

const LightPaths::Lengths* CureField::ends_where_it_matters(const Eigen::Vector3d& direction) const {
  for (std::size_t i = 1; i < filling_.size(); ++i)
    if (composite(i).light.reflection != composite(0).light.reflection)
      return &light_.ends_towards_lamp(direction);
  return nullptr;
}

/// Tissue has no reflection of its own: behind it, that of the first composite stands for the surface.
double CureField::reflection_first_met(const std::vector<double>& ends) const {
  double farthest = 0, reflection = 0;
  for (std::size_t region = 0; region < placed_.size(); ++region) {
    const auto* composite = std::get_if<Composite>(&model_.materials[region]);
    if (composite == nullptr || !placed_[region] || !(ends[region] > farthest)) continue;
    farthest = ends[region];
    reflection = composite->light.reflection;
  }
  return reflection;
}

std::vector<std::array<double, 4>> CureField::kept_from_tip(const Exposure& exposure) const {
  const double outermost = outermost_along(model_.mesh, exposure.direction);
  std::vector<std::array<double, 4>> kept(filling_.size());
  for (std::size_t i = 0; i < filling_.size(); ++i)
    for (std::size_t p = 0; p < 4; ++p) {
      const Tetrahedron& tetrahedron = model_.mesh.tetrahedra[static_cast<std::size_t>(filling_[i])];
      const Eigen::Vector3d point = position(model_.mesh, tetrahedron, stress_point(static_cast<int>(p)));
      kept[i][p] = exposure.tip->kept.at(exposure.tip->to(point.dot(exposure.direction) - outermost));
    }
  return kept;
}

void CureField::set_light(const std::vector<char>& placed, const std::vector<Exposure>& lit) {
  placed_ = placed;
  irradiance_.assign(filling_.size(), {});
  for (const Exposure& exposure : lit) {
    const LightPaths::Lengths& lengths = light_.towards_lamp(exposure.direction);
    const LightPaths::Lengths* ends = ends_where_it_matters(exposure.direction);
    std::vector<std::array<double, 4>> kept;
    if (exposure.tip) kept = kept_from_tip(exposure);
    parallel_for(filling_.size(), [&](std::size_t i) {
      for (std::size_t p = 0; p < 4; ++p) {
        double depth = 0.0;  // optical [-]
        for (std::size_t region = 0; region < placed_.size(); ++region)
          depth += attenuation(region) * lengths[i][p][region];
        const double reflection =
            ends == nullptr ? composite(i).light.reflection : reflection_first_met((*ends)[i][p]);
        const double light = exposure.irradiance * (1.0 - reflection) * std::exp(-depth);
        irradiance_[i][p] += kept.empty() ? light : kept[i][p] * light;
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
