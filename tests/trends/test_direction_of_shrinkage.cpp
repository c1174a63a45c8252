// Where the filling moves as it shrinks: what the light does to that, and what the bond does.

#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/trends/trend_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace {

/// Cosine of the angle between two fields of displacement on the same mesh [-]: 1 is the same pattern.
double likeness(const Movement& one, const Movement& other) {
  double product = 0, squares = 0, other_squares = 0;
  for (std::size_t i = 0; i < one.points.size(); ++i) {
    product += one.displacements[i].dot(other.displacements.at(i));
    squares += one.displacements[i].squaredNorm();
    other_squares += other.displacements[i].squaredNorm();
  }
  return product / std::sqrt(squares * other_squares);
}

/// Movement of the middle of the free surface [um], positive towards occlusal.
double rise_of_surface(const Movement& movement) {
  std::size_t middle = 0;
  const auto merit = [&](std::size_t i) {
    return movement.points[i].z() - movement.points[i].head<2>().norm();
  };
  for (std::size_t i = 1; i < movement.points.size(); ++i)
    if (merit(i) > merit(middle)) middle = i;
  return 1000.0 * movement.displacements[middle].z();
}

SolvedCase solve(const std::string& over) {
  return SolvedCase(on_top_of("lit-from-a-side.toml", over));
}
std::string lamp(const std::string& side) {
  return fmt::format("[[plan.light]]\nirradiance = 1000.0\nduration = \"30 min\"\nfrom = \"{}\"\n", side);
}

double least_conversion(const SolvedCase& solved) {
  const VolumeCells cells = solved.volume();
  double least = 1.0;
  for (Eigen::Index t = 0; t < cells.of_cells.at("conversion").rows(); ++t)
    if (cells.of_cells.at("increment")(t, 0) > 0)
      least = std::min(least, cells.of_cells.at("conversion")(t, 0));
  return least;
}

}  // namespace

TEST_CASE("bond and free surface set the direction of shrinkage, not the light", "[trends]") {
  const SolvedCase occlusal = solve(lamp("occlusal")), buccal = solve(lamp("buccal"));
  const Movement from_occlusal = movement_of_filling(occlusal), from_buccal = movement_of_filling(buccal);
  const Movement everywhere =
      movement_of_filling(solve("[materials.override.conventional-paste.light]\nattenuation = 0.0\n"));
  const Movement hardly_bonded = movement_of_filling(
      solve("[materials]\nbeyond_published = true\n[bond]\nnormal_stiffness = 1.0\nshear_stiffness = 1.0\n" +
            bond_strength(0.1)));
  const double by_side = likeness(from_occlusal, from_buccal), by_depth = likeness(from_occlusal, everywhere);
  const double by_bond = likeness(from_occlusal, hardly_bonded);
  verify(
      {.chapter = "Published trends",
       .title = "Direction of shrinkage",
       .source =
           "Versluis, Tantbirojn and Douglas 1998, Do dental composites always shrink toward the light?, J "
           "Dent Res 77:1435; Suh and Wang 2001, Am J Dent 14:109-113 (free surface sinks)",
       .formula =
           "patterns of movement of evenly and of light-cured fillings are nearly the same: cavity, bond and "
           "free surface set the direction, not the light",
       .mesh = occlusal.mesh_text(),
       .tolerance_because =
           "likeness is the cosine between the two fields of displacement; 'nearly the same' is "
           "read as within 25 degrees, 0.9; the other checks are of order only",
       .comparisons = {at_least("lit from buccal: least conversion at the end", "-", 0.97,
                                least_conversion(buccal)),
                       at_least("likeness, lit from occlusal and from buccal", "-", 0.9, by_side),
                       at_least("likeness, lit from occlusal and setting evenly", "-", 0.9, by_depth),
                       at_least("light changes the pattern less than loss of the bond does", "-", by_bond,
                                std::min(by_side, by_depth)),
                       at_most("middle of the free surface, lit from occlusal", "um", 0.0,
                               rise_of_surface(from_occlusal)),
                       at_most("middle of the free surface, lit from buccal", "um", 0.0,
                               rise_of_surface(from_buccal))},
       .verdict = fmt::format(
           "Likeness {:.3f} for another side of the lamp, {:.3f} for even setting, {:.3f} for a "
           "filling that is hardly bonded. The free surface sinks by {:.1f} and {:.1f} um.",
           by_side, by_depth, by_bond, -rise_of_surface(from_occlusal), -rise_of_surface(from_buccal))});
}
