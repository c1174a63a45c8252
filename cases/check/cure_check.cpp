#include "cases/check/cure_check.hpp"

#include "cases/check/cure_json.hpp"
#include "solver/run/cure_alone.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr double millijoules_per_joule = 1e3;

/// The bond as a run would hand it out at the end, with cure and nothing else.
Frame cured_frame(const Model& model, const CureAlone& cure) {
  Frame frame;
  frame.placed = cure.placed;
  frame.bond.resize(model.mesh.bond.size());
  for (std::size_t f = 0; f < frame.bond.size(); ++f) {
    const BondFacet& facet = model.mesh.bond[f];
    const int behind = model.mesh.tetrahedra[static_cast<std::size_t>(facet.filling_tetrahedron)].region;
    for (BondPoint& point : frame.bond[f]) {
      point.active = cure.placed[static_cast<std::size_t>(behind)] != 0;
      point.conversion = mean_beside(model.mesh, facet, cure.conversion);
    }
  }
  return frame;
}

void add_light(const CureReport& report, const CureAlone& cure, ordered_json& increments) {
  for (std::size_t k = 0; k < increments.size(); ++k) {
    const TopAndBottom exposure = report.top_and_bottom(static_cast<int>(k), cure.exposure);
    const auto mean = [&](double joules) {
      return cure.lit[k] > 0 ? millijoules_per_joule * joules / cure.lit[k] : 0.0;
    };
    increments[k].update({{"lit_s", cure.lit[k]},
                          {"irradiance_top_mW_cm2", mean(exposure.top)},
                          {"irradiance_bottom_mW_cm2", mean(exposure.bottom)},
                          {"radiant_exposure_top_J_cm2", exposure.top},
                          {"radiant_exposure_bottom_J_cm2", exposure.bottom}});
  }
}

}  // namespace

ordered_json cure_without_solving(const Case& input, const Model& model) {
  const LightPaths light(model.mesh);
  const CureReport report(model.mesh, model.timeline, light);
  const CureAlone cure = cure_alone(model, light);
  const std::vector<WallRow> rows = model.mesh.bond.empty()
                                        ? std::vector<WallRow>{}
                                        : wall_report(model.mesh, model.substrates, cured_frame(model, cure));
  ordered_json json = cure_json(input, report.of(cure.placed, cure.conversion), rows, true);
  add_light(report, cure, json["increments"]);
  return json;
}

}  // namespace setstress
