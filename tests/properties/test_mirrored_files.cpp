// Mirrored case files give mirrored results: the open side mesial for distal, the centre offset to buccal
// instead of to lingual, planes tilted and the lamp held the other way. The mesh is not mirrored, so values
// along a wall agree as far as two meshes of that size do. Derived: the laws know no direction.

#include <catch2/catch.hpp>
#include <map>

#include "solver/report/wall_report.hpp"
#include "tests/check_record.hpp"
#include "tests/properties/solved_model.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace {

using Names = std::map<std::string, std::string>;

std::string through(const Names& mirror, const std::string& name) {
  const auto found = mirror.find(name);
  return found == mirror.end() ? name : found->second;
}

const Names mesial_distal{{"mesial", "distal"}, {"distal", "mesial"}};
const Names buccal_lingual{{"buccal", "lingual"}, {"lingual", "buccal"}};

RandomCase mirrored(RandomCase c, const Names& mirror) {
  RandomPreparation& p = c.preparation.value();
  p.side = through(mirror, p.side);
  c.lamp_from = through(mirror, c.lamp_from);
  const bool along_x = mirror.contains("mesial");
  (along_x ? p.offset_x : p.offset_y) *= -1;
  for (RandomLayer& layer : c.layers) (along_x ? layer.tilt_x : layer.tilt_y) *= -1;
  return c;
}

/// Area and mean tractions by wall at the end.
std::map<std::string, BondStatistics> walls_of(const RandomCase& c) {
  const Posed p = posed(c);
  const Frame end = solved(p.model, p.options).end;
  std::map<std::string, BondStatistics> walls;
  for (const WallRow& row : wall_report(p.model.mesh, p.model.substrates, end))
    if (!row.substrate) walls[row.wall] = row.statistics;
  return walls;
}

}  // namespace

TEST_CASE("mirrored case files give mirrored walls", "[properties]") {
  const auto drawn = seeds({1, 2});
  double area = 0, traction = 0;
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    RandomCase c = random_case(drawn[i], Draws::teeth_that_mirror);
    c.debonding = false;  // what lets go first may differ between meshes
    c.fineness = 0.5;
    INFO(c.text());
    const Names& mirror = i % 2 == 0 ? mesial_distal : buccal_lingual;
    const auto one = walls_of(c), other = walls_of(mirrored(c, mirror));
    const double most = one.at("").normal_traction.mean + one.at("").shear_traction.mean;
    REQUIRE(most > 0);
    for (const auto& [wall, values] : one) {
      const BondStatistics& there = other.at(through(mirror, wall));
      area = std::max(area, std::abs(there.area / values.area - 1));
      traction =
          std::max({traction, std::abs(there.normal_traction.mean - values.normal_traction.mean) / most,
                    std::abs(there.shear_traction.mean - values.shear_traction.mean) / most});
    }
    CHECK(area < 1e-3);
    CHECK(traction < 0.02);
  }
  verify({.chapter = "Properties of random cases",
          .title = "mirrored case files give mirrored walls",
          .source = "derived: the laws know no direction",
          .formula = "mesial for distal, buccal for lingual; area and mean tractions of every wall",
          .mesh = "seeds " + listed(drawn) + "; 0.5 mm along the bond",
          .tolerance_because = "Two meshes of one size; areas differ where a round wall is cut into facets.",
          .comparisons = {at_most("difference of the area of a wall", "-", 1e-3, area),
                          at_most("difference of a wall's mean traction, of that of the whole bond", "-",
                                  0.02, traction)}});
}
