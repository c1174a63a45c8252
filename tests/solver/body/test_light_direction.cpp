// Published: auto-cured and light-cured composite contract in nearly the same pattern; the direction is set
// by cavity shape, bond and free surfaces, not by the light (Versluis, Tantbirojn, Douglas, J Dent Res 77
// (1998) 1435).
#include <catch2/catch.hpp>

#include "tests/solver/model_of.hpp"

using namespace setstress;

namespace {

/// A slot filled in bulk, lit along `direction` until cured through; its composite dims the light to a half
/// per mm.
Frame lit_along(const Eigen::Vector3d& direction) {
  Composite composite = always_stiff(10'000, 0.3, 0.005);
  composite.light.attenuation = 0.7;
  composite.stiffness.gel_point = 0.1;
  composite.stiffness.exponent = 1.0;
  composite.stiffness.floor = 1e-5;
  Model model =
      model_of(FlexingMould{.slot_width = 4, .slot_length = 4, .slot_depth = 3}, fineness(0.8), composite,
               Elastic{"mould", 69'000, 0.33}, uniform_adhesive(240'000, 90'000, strong));
  model.fixed = {hold("bottom", true, true, true)};
  model.tissue_attenuation = 0.0;
  model.timeline.exposures = {{.start = 0, .duration = 400, .irradiance = 1000, .direction = direction}};
  model.timeline.end = 400;
  return final_frame(model, {.largest_time_step = 400});
}

}  // namespace

TEST_CASE("light from above and from the side: once cured alike, the filling has moved the same way",
          "[verification][solver]") {
  const Frame above = lit_along({0, 0, -1}), beside = lit_along({0, -1, 0});
  for (const Frame* frame : {&above, &beside})
    for (const auto& element : frame->conversion)
      for (const double conversion : element) REQUIRE((conversion == 0.0 || conversion > 0.995));
  const double cosine =
      above.displacement.dot(beside.displacement) / (above.displacement.norm() * beside.displacement.norm());
  CHECK(cosine > 0.97);  // "nearly the same": 14 degrees in the space of all displacements
}
