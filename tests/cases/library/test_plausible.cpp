// Values that cannot be. The limits are ten and three times what is published; sources beside them in
// plausible.cpp.

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/library/plausible.hpp"
#include "cases/pose/pose.hpp"
#include "tests/cases/scratch_case.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;
using Catch::Matchers::Contains;

namespace {

Case joint(const ScratchFolder& folder, const std::string& text) {
  return read_case(folder.write("joint.toml", "base = \"butt-joint\"\n" + text));
}

const std::string stiffness = "[materials.override.conventional-paste.stiffness]\nyoungs_modulus = ";

}  // namespace

TEST_CASE("ten times beyond all that is published is refused, three times is told", "[cases]") {
  const ScratchFolder folder;
  for (const char* value : {"1e300", "1e-300", "300000.0", "90.0"})
    CHECK_THROWS_WITH(joint(folder, stiffness + value),
                      Contains("joint.toml:3: stiffness.youngs_modulus of conventional-paste") &&
                          Contains("1000 to 25000"));
  CHECK(joint(folder, stiffness + "12000.0").materials.notes.empty());
  const auto notes = joint(folder, stiffness + "90000.0").materials.notes;
  REQUIRE(notes.size() == 1);
  CHECK_THAT(notes[0], Contains("is 90000 [MPa]; published values of its kind are 1000 to 25000"));
  CHECK_THROWS_WITH(joint(folder, "[materials.override.conventional-paste.light]\nattenuation = 1e300\n"),
                    Contains("light.attenuation"));
  CHECK_THROWS_WITH(joint(folder, "[materials.override.conventional-paste.cure]\nrate = 1e300\n"),
                    Contains("cure.rate"));
  CHECK_THROWS_WITH(joint(folder, "[bond.strength.fixture]\ntensile = 0.1\nshear = 40.0\n"),
                    Contains("tensile"));
}

TEST_CASE("another unit that explains a value is named", "[cases]") {
  const ScratchFolder folder;
  CHECK_THROWS_WITH(joint(folder, stiffness + "9"), Contains("is 9 GPa meant? Then write 9000"));
  CHECK_THROWS_WITH(joint(folder, "[bond.strength.fixture]\nfracture_energy_opening = 89\n"),
                    Contains("is 89 J/m2 meant? Then write 0.089"));
}

TEST_CASE("a case may go beyond what is published where it says so, and is told", "[cases]") {
  const ScratchFolder folder;
  const Case input = joint(folder, "[materials]\nbeyond_published = true\n" + stiffness + "9e6");
  CHECK(input.materials.composites.at("conventional-paste").stiffness.final_modulus == 9e6);
  CHECK(input.materials.notes.size() == 1);
}

TEST_CASE("strengths of tissues that a specimen does not have are not asked about", "[cases]") {
  const ScratchFolder folder;
  CHECK_NOTHROW(joint(folder,
                      "[bond.strength.enamel]\ntensile = 1e5\nshear = 1e5\nfracture_energy_opening = "
                      "3.0\nfracture_energy_sliding = 3.0\n"));
}

TEST_CASE("one of a pair that was taken to be equal to the other is told when that is changed", "[cases]") {
  const ScratchFolder folder;
  const auto notes = joint(folder, "[bond.strength.fixture]\ntensile = 18.0\n").materials.notes;
  REQUIRE(notes.size() == 1);
  CHECK_THAT(notes[0],
             Contains("joint.toml:3: strength.fixture.tensile is 18 now, but strength.fixture.shear stays"));
  CHECK(joint(folder, "[bond.strength.fixture]\ntensile = 18.0\nshear = 18.0\n").materials.notes.empty());
  const auto of_all =
      read_case(folder.write("box.toml", good_case + "[bond.strength]\ntensile = 18.0\n")).materials.notes;
  REQUIRE(of_all.size() == 1);
  CHECK_THAT(of_all[0], Contains("tensile is 18 now on") && Contains("but shear stays"));
}
