// [bond.wall]: values of the bond by wall. Facts about our own case format; no source.

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "cases/pose/unused_values.hpp"
#include "tests/cases/scratch_case.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {

Case with_bond(const ScratchFolder& folder, const std::string& bond) {
  return read_case(folder.write("bond.toml", good_case + bond));
}

}  // namespace

TEST_CASE("values of a wall stand above those of the adhesive", "[cases]") {
  const ScratchFolder folder;
  const Case input = with_bond(folder, R"([bond.strength.enamel]
tensile = 31.0
[bond.wall.floor]
film_thickness = 0.05
[bond.wall.floor.strength]
tensile = 11.0
[bond.wall.floor.strength.middle-dentin]
tensile = 9.0
)");
  const Adhesive& usual = input.materials.adhesive;
  const WallBond& floor = input.materials.wall_bonds.at("floor");
  CHECK(usual.strength.at(Substrate::enamel).tensile == 31);
  CHECK(floor.strength.at(Substrate::enamel).tensile == 11);
  CHECK(floor.strength.at(Substrate::middle_dentin).tensile == 9);
  CHECK(floor.strength.at(Substrate::enamel).shear == usual.strength.at(Substrate::enamel).shear);
  CHECK(floor.normal_stiffness == Approx(usual.normal_stiffness() * usual.film_thickness / 0.05));
  const auto& values = input.materials.provenance.at("bond to a wall").at("floor").at("values");
  CHECK_THAT(values.at("strength.middle-dentin.tensile").at("place").get<std::string>(),
             Contains("bond.toml"));
  const Model model = pose(input);
  CHECK(model.wall_bonds.at("floor") == floor);
}

TEST_CASE("slips in the bond of a wall are refused", "[cases]") {
  const ScratchFolder folder;
  const auto posed = [&](const std::string& bond) { return pose(with_bond(folder, bond)); };
  CHECK_THROWS_WITH(
      posed("[bond.wall.flor.strength]\ntensile = 9.0\n"),
      Contains("bond.wall.flor is no wall of this shape; did you mean \"floor\"?") && Contains("lingual"));
  CHECK_THROWS_WITH(posed("[bond.wall.floor.strength_maturity]\nlaw = \"mature-at-once\"\n"),
                    Contains("bond.wall.floor.strength_maturity"));
  CHECK_THROWS_WITH(posed("[bond.wall.floor]\nnormal_stiffness = 1e5\nshear_stiffness = 4e4\n"
                          "film_thickness = 0.02\n"),
                    Contains("bond.wall.floor.film_thickness changes nothing here"));
  CHECK_THROWS_WITH(posed("[bond.wall.floor.strength]\nfracture_energy_opening = 1e-9\n"),
                    Contains("fracture_energy_opening"));
}

TEST_CASE("values on which no result depends are told", "[cases]") {
  const ScratchFolder folder;
  const Mesh mesh =
      mesh_of(with_bond(folder, "[mesh]\nfineness = \"coarse\"\n"));  // none of these changes it
  const auto notes = [&](const std::string& text) { return unused_values(with_bond(folder, text), mesh); };
  CHECK(notes("").empty());
  CHECK(notes("[materials.override.conventional-paste.cure]\nlimiting_conversion = 0.3\n").empty());
  const auto tensile = notes("[materials.override.conventional-paste]\ntensile_strength = 30.0\n");
  REQUIRE(tensile.size() == 1);
  CHECK_THAT(tensile.front(), Contains("materials.override.conventional-paste.tensile_strength "
                                       "changes no result"));
  const auto elsewhere = notes("[bond.strength.fixture]\ntensile = 9.0\n");
  REQUIRE(elsewhere.size() == 1);
  CHECK_THAT(elsewhere.front(), Contains("bond.strength.fixture changes no result: the bond touches no"));
  const std::string fluid = "[[bite]]\n[gap_fluid]\nfilled = \"full\"\n";
  const auto dry = notes(fluid);
  REQUIRE(dry.size() == 1);
  CHECK_THAT(dry.front(), Contains("gap_fluid changes no result: the bond holds in mode \"intact\""));
  CHECK(notes(fluid + "[solver]\nmode = \"debonding\"\n").empty());
  CHECK(why_unused("materials.override.flowable.tensile_strength", Mode::debonding));
  CHECK(why_unused("bond.strength.enamel.fracture_energy_opening", Mode::intact));
  CHECK(!why_unused("bond.strength.enamel.fracture_energy_opening", Mode::debonding));
  CHECK(!why_unused("bond.strength.enamel.tensile", Mode::intact));
}
