// Why layers can deform a well-bonded tooth more than bulk: the parts of the model switched on one at a time.

#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/trends/trend_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace layers_in_a_tooth {
namespace {

/// Both layers lie in place at once and see the same light: bulk, on the mesh of the layers.
constexpr const char* bulk_plan =
    "[[plan.increment]]\nlayer = \"horizontal\"\nthickness = 2.0\nplacing_time = 0.0\nlight = []\n"
    "[[plan.increment]]\nplacing_time = 0.0\n";

double cusps(const std::string& over) {
  return deflection(SolvedCase(on_top_of("two-layers.toml", over)));
}
double layers_over_bulk(const std::string& over) {
  return cusps(over) / cusps(over + bulk_plan);
}

constexpr const char* film = "[mesh]\ntied_bond = false\n";
std::string growing_film() {
  return std::string(film) +
         "[bond.stiffness_maturity]\nlaw = \"table\"\npoints = [[0, 0.1], [30, 0.5], [61, 1.0]]\n" +
         bond_strength(1.0);
}
constexpr const char* growing =
    "[materials.override.stiff-at-once.stiffness]\ngel_point = 0.15\nexponent = 2.0\n[solver]\n"
    "largest_conversion_step = 0.04\n";
constexpr const char* light_with_depth =
    "[materials.override.stiff-at-once.light]\nattenuation = 1.0\n"
    "[materials.override.stiff-at-once.cure]\nirradiance_exponent = 0.5\n";

}  // namespace

TEST_CASE("layers in place from the start, set one after the other, end as bulk does", "[trends]") {
  const double bulk = cusps(bulk_plan);
  const double one_by_one = cusps(
      "[[plan.light]]\nirradiance = 1000.0\nduration = \"10 min\"\ndelay = 0.0\n"
      "[[plan.increment]]\nlayer = \"horizontal\"\nthickness = 2.0\nplacing_time = 0.0\nlight = []\n"
      "[[plan.increment]]\nplacing_time = 0.0\nmaterial = \"stiff-at-once-slow\"\n");
  verify(
      {.chapter = "Published trends",
       .title = "Superposition: stiff layers that set one by one",
       .source = "derived: the model is linear when all of the filling is there and stiff from the start",
       .formula = "the order in which parts shrink does not count: deflection as bulk",
       .mesh = "1 mm along the bond, tied",
       .tolerance_because = "accuracy of the linear solver, 1e-8 a step, and conversion, 1e-6",
       .comparisons = {within_share("set one by one over set together", "-", 1.0, one_by_one / bulk, 1e-5)},
       .verdict =
           "Any difference between layers and bulk therefore comes from placing a layer late, from growing "
           "stiffness, from light that weakens with depth, or from the bond."});
}

TEST_CASE("layers deform a well-bonded tooth more than bulk", "[trends]") {
  const double placed_late = layers_over_bulk("");
  const double stiffening = layers_over_bulk(growing);
  const double deep = layers_over_bulk(std::string(growing) + light_with_depth);
  const double with_film = layers_over_bulk(film);
  const double with_growing_film = layers_over_bulk(growing_film());
  verify(
      {.chapter = "Published trends",
       .title = "Bulk or layers in a well-bonded tooth",
       .source = "Versluis, Douglas, Cross and Sakaguchi 1996, Does an incremental filling technique reduce "
                 "polymerization shrinkage stresses?, J Dent Res 75:871",
       .formula = "layers deform the well-bonded tooth more: the cavity shrinks between them, so that less "
                  "composite "
                  "is placed",
       .mesh = "1 mm along the bond",
       .tolerance_because = "order only: the tooth of the study could not be read",
       .comparisons = {at_least("layers over bulk, placed late, stiff at once, tied", "-", 1.0, placed_late),
                       at_least("the same, stiffness growing with conversion", "-", 1.0, stiffening),
                       at_least("the same, and light weaker with depth", "-", 1.0, deep),
                       at_least("placed late, stiff at once, film of 30 um", "-", 1.0, with_film),
                       at_least("placed late, stiff at once, film that stiffens tenfold", "-", 1.0,
                                with_growing_film)},
       .verdict = fmt::format("The model shows it, and by placing alone: with late placing as the only "
                              "difference, layers move the cusps {:.2f} "
                              "times as far as bulk. The lower layer tilts walls that nothing props yet, and "
                              "the upper one is placed "
                              "stress-free in the cavity so narrowed. Stiffness that grows while the paste "
                              "shrinks changes that to {:.2f}, "
                              "light that weakens with depth to {:.2f}; a mature film (filling stiff at "
                              "once) to {:.2f}, a film that "
                              "still stiffens to {:.2f}.",
                              placed_late, stiffening, deep, with_film, with_growing_film)});
}

}  // namespace layers_in_a_tooth
