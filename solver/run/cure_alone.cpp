#include "solver/run/cure_alone.hpp"

#include <algorithm>

#include "mesh/tetrahedra/measures.hpp"
#include "solver/body/cure_field.hpp"
#include "solver/model/own_light.hpp"
#include "solver/run/schedule.hpp"

namespace setstress {
namespace {

constexpr double joules_per_millijoule = 1e-3;

/// By increment: whether one of its own exposures is among those that are on.
std::vector<char> own_light_on(const Timeline& timeline, const std::vector<Exposure>& lit, int increments) {
  std::vector<char> on(static_cast<std::size_t>(increments), 0);
  for (int k = 0; k < increments; ++k)
    for (const Exposure& exposure : own_exposures(timeline, k))
      if (std::find(lit.begin(), lit.end(), exposure) != lit.end()) on[static_cast<std::size_t>(k)] = 1;
  return on;
}

void add_exposure(const Model& model, const CureField& cure, const std::vector<char>& own_on, double duration,
                  CureAlone& result) {
  for (std::size_t i = 0; i < cure.filling().size(); ++i) {
    const auto t = static_cast<std::size_t>(cure.filling()[i]);
    const auto region = static_cast<std::size_t>(model.mesh.tetrahedra[t].region);
    if (!own_on[static_cast<std::size_t>(model.mesh.regions[region].increment)]) continue;
    for (std::size_t p = 0; p < 4; ++p)
      result.exposure[t][p] += joules_per_millijoule * cure.irradiance()[i][p] * duration;
  }
}

}  // namespace

CureAlone cure_alone(const Model& model, const LightPaths& light) {
  const std::size_t tetrahedra = model.mesh.tetrahedra.size();
  const int increments = number_of_increments(model.mesh);
  CureAlone result;
  result.conversion.assign(tetrahedra, {});
  result.exposure.assign(tetrahedra, {});
  result.lit.assign(static_cast<std::size_t>(increments), 0.0);
  for (const Region& region : model.mesh.regions) result.placed.push_back(!region.is_filling());
  CureField cure(model, light);
  const std::vector<Event> events = schedule(model.timeline);
  for (std::size_t e = 0; e < events.size(); ++e) {
    for (std::size_t r = 0; r < result.placed.size(); ++r)
      if (std::ranges::count(events[e].placements, model.mesh.regions[r].increment) > 0) result.placed[r] = 1;
    if (e + 1 == events.size()) break;
    cure.set_light(result.placed, events[e].lit);
    const double duration = interval(events[e].time, events[e + 1].time);
    const std::vector<char> own_on = own_light_on(model.timeline, events[e].lit, increments);
    for (std::size_t k = 0; k < own_on.size(); ++k) result.lit[k] += own_on[k] ? duration : 0.0;
    add_exposure(model, cure, own_on, duration, result);
    cure.commit(cure.advanced(duration));
  }
  for (std::size_t i = 0; i < cure.filling().size(); ++i)
    for (std::size_t p = 0; p < 4; ++p)
      result.conversion[static_cast<std::size_t>(cure.filling()[i])][p] = cure.states()[i][p].conversion;
  return result;
}

}  // namespace setstress
