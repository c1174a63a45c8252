#include "cases/library/material_library.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "cases/reader/data_folder.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using Catch::Contains;

namespace {

MaterialLibrary library() {
  return MaterialLibrary::load(material_library_file());
}

/// The shipped library with a user's file on top.
MaterialLibrary with(const std::string& text) {
  const ScratchFolder folder;
  MaterialLibrary both = library();
  both.add(folder.write("mine.toml", text));
  return both;
}

template <typename Check>
void for_every_value(const MaterialLibrary& materials, Check check) {
  const auto visit = [&](const auto& classes) {
    for (const auto& [name, material] : classes)
      for (const auto& [key, value] : material.provenance.items()) check(name + "." + key, value);
  };
  visit(materials.composites());
  visit(materials.tissues());
  visit(materials.fixtures());
  visit(materials.adhesives());
}

}  // namespace

TEST_CASE("the library holds the classes that cases are made of", "[cases]") {
  const MaterialLibrary materials = library();
  for (const char* name : {"conventional-paste", "flowable", "bulk-fill-paste", "bulk-fill-flowable"})
    CHECK(materials.composite(name).values.name == name);
  for (const char* name :
       {"enamel", "coronal-dentin", "middle-dentin", "cervical-dentin", "radicular-dentin", "pulp"})
    CHECK(materials.tissue(name).values.youngs_modulus > 0);
  for (const char* name : {"aluminium", "glass", "steel", "rigid-plate"})
    CHECK(materials.fixture(name).values.youngs_modulus > 0);
  for (const char* name :
       {"two-step-self-etch", "three-step-etch-and-rinse", "universal-self-etch", "universal-etch-and-rinse"})
    CHECK(materials.adhesive(name).values.strength.size() == all_substrates.size());
}

TEST_CASE("a class may build on another of its own file, in any order, and not in a circle", "[cases]") {
  const MaterialLibrary both = with(
      "[composite.a]\nfrom = \"b\"\nvolumetric_shrinkage = 0.03\n[composite.b]\nfrom = "
      "\"conventional-paste\"\nstiffness.poisson_ratio = 0.2\n");
  CHECK(both.composite("a").values.stiffness.poisson_ratio == 0.2);
  CHECK(both.composite("a").values.volumetric_shrinkage == 0.03);
  CHECK(both.composite("b").values.volumetric_shrinkage == 0.025);
  CHECK_THROWS_WITH(with("[composite.a]\nfrom = \"b\"\n[composite.b]\nfrom = \"a\"\n"),
                    Contains("mine.toml") && Contains("builds on this class itself"));
  CHECK_THROWS_WITH(with("[composite.a]\nfrom = \"a\"\n"), Contains("builds on this class itself"));
}

TEST_CASE("every value of the library says its unit, what it rests on and where it comes from", "[cases]") {
  int values = 0;
  for_every_value(library(), [&](const std::string& key, const Provenance& value) {
    CAPTURE(key);
    CHECK(value.at("basis") != "given");
    CHECK_FALSE(value.at("source").get<std::string>().empty());
    CHECK_THAT(value.at("place").get<std::string>(), Contains("library.toml:"));
    CHECK((value.contains("unit") || value.contains("law")));
    ++values;
  });
  CHECK(values > 200);
}

TEST_CASE("short names of sources become whole citations", "[cases]") {
  CHECK_THAT(
      library().composite("flowable").provenance.at("cure.order_growth").at("source").get<std::string>(),
      Contains("10.1007/s00289-023-04832-3"));
}

// Rank of substrates: common practice, no source. Coronal values: Open Dent J 2016;10:268.
TEST_CASE("bond strength falls from enamel to radicular dentin", "[cases]") {
  const MaterialLibrary materials = library();
  for (const auto& [name, adhesive] : materials.adhesives()) {
    CAPTURE(name);
    const auto& strength = adhesive.values.strength;
    for (std::size_t i = 1; i + 1 < all_substrates.size(); ++i) {
      CHECK(strength.at(all_substrates[i - 1]).tensile > strength.at(all_substrates[i]).tensile);
      CHECK(strength.at(all_substrates[i - 1]).fracture_energy_opening >
            strength.at(all_substrates[i]).fracture_energy_opening);
    }
  }
  const auto coronal = [&](const char* name) {
    return materials.adhesive(name).values.strength.at(Substrate::coronal_dentin).tensile;
  };
  CHECK(coronal("universal-etch-and-rinse") == 39.4);
  CHECK(coronal("universal-self-etch") == 31.0);
  CHECK(coronal("three-step-etch-and-rinse") == 35.1);
  CHECK(coronal("two-step-self-etch") == 35.8);
}

TEST_CASE("a user's class starts from another and overrides single values", "[cases]") {
  const MaterialLibrary materials = with(
      "[composite.lab-paste]\nfrom = \"conventional-paste\"\nvolumetric_shrinkage = 0.019\n"
      "[composite.lab-paste.stiffness]\n"
      "youngs_modulus = {value = 9000, unit = \"MPa\", basis = \"published\", source = \"our own bending "
      "test\"}\n");
  const auto& mine = materials.composite("lab-paste");
  const auto& base = materials.composite("conventional-paste");
  CHECK(mine.values.volumetric_shrinkage == 0.019);
  CHECK(mine.values.stiffness.final_modulus == 9000);
  CHECK(mine.values.cure.rate == base.values.cure.rate);
  CHECK(mine.values.name == "lab-paste");
  CHECK(base.values.volumetric_shrinkage == 0.025);
  CHECK(mine.provenance.at("volumetric_shrinkage").at("basis") == "given");
  CHECK(mine.provenance.at("volumetric_shrinkage").at("source") == "");
  CHECK_THAT(mine.provenance.at("volumetric_shrinkage").at("place").get<std::string>(),
             Contains("mine.toml:3"));
  CHECK(mine.provenance.at("stiffness.youngs_modulus").at("source") == "our own bending test");
  CHECK(mine.provenance.at("cure.rate") == base.provenance.at("cure.rate"));
}

TEST_CASE("a class may build on itself and replaces the one that was there", "[cases]") {
  const MaterialLibrary materials = with("[tissue.enamel]\nfrom = \"enamel\"\nyoungs_modulus = 84100\n");
  CHECK(materials.tissue("enamel").values.youngs_modulus == 84100);
  CHECK(materials.tissue("enamel").values.poisson_ratio == 0.33);
}

TEST_CASE("a value of a case does not inherit the source of the value it replaces", "[cases]") {
  const MaterialLibrary materials = library();
  const ScratchFolder folder;
  const Section root({parse_toml(folder.write("mine.toml", "[stiffness]\npoisson_ratio = {value = 0.35}\n")),
                      parse_toml(material_library_file())});  // any lower layer
  Sourced<Composite> paste = materials.composite("flowable");
  materials.override_values(paste, root);
  CHECK(paste.values.stiffness.poisson_ratio == 0.35);
  CHECK(paste.provenance.at("stiffness.poisson_ratio").at("basis") == "given");
  CHECK(paste.provenance.at("stiffness.poisson_ratio").at("source") == "");
}

TEST_CASE("maturity laws by name, for all substrates and for one", "[cases]") {
  const MaterialLibrary materials = with(
      "[adhesive.mine]\nfrom = \"two-step-self-etch\"\n"
      "[adhesive.mine.strength_maturity]\nlaw = \"ten-minute-pair\"\nat_once = 0.4\n"
      "enamel = {law = \"table\", points = [[0, 0.3], [600, 0.8], [86400, 1]]}\n");
  const auto& laws = materials.adhesive("mine").values.strength_maturity;
  CHECK(laws.at(Substrate::cervical_dentin)(600) == Approx(0.69).epsilon(1e-14));
  CHECK(laws.at(Substrate::cervical_dentin)(0) == 0.4);
  CHECK(laws.at(Substrate::enamel)(600) == Approx(0.8).epsilon(1e-14));
  const auto& usual = materials.adhesive("two-step-self-etch").values;
  CHECK(usual.strength_maturity.at(Substrate::enamel)(60) == Approx(0.7).epsilon(1e-14));
  CHECK(usual.stiffness_maturity.at(Substrate::enamel)(0) == 1);
}

TEST_CASE("what cannot be is refused in a sentence with file, line, value and what is allowed", "[cases]") {
  const std::string mine = "[composite.mine]\nfrom = \"flowable\"\n";
  const auto [text, sentence] = GENERATE_COPY(
      std::pair{
          mine + "[composite.mine.stiffness]\npoisson_ratio = 0.5\n",
          std::string("mine.toml:4: composite.mine.stiffness.poisson_ratio is 0.5 [-]; must be above -1 and "
                      "below 0.5")},
      std::pair{mine + "volumetric_shrinkage = 2.5\n", std::string("is 2.5 [-]; must be between 0 and 0.2")},
      std::pair{mine + "tensile_strength = 0\n", std::string("is 0 [MPa]; must be above 0")},
      std::pair{mine + "tensile_strength = {value = 40, unit = \"GPa\"}\n",
                std::string("tensile_strength.unit is \"GPa\"; must be \"MPa\"")},
      std::pair{mine + "tensile_strength = {value = 40, basis = \"guess\"}\n",
                std::string("must be one of: published")},
      std::pair{mine + "tensile_strength = {value = 40, source = \"par-2016\"}\n",
                std::string("is \"par-2016\", is \"par-2015\" meant?")},
      std::pair{mine + "tensile_strength = {value = 40, basis = \"published\"}\n",
                std::string("tensile_strength.source is missing; a value whose basis is \"published\"")},
      std::pair{std::string("[composite.\"\"]\nfrom = \"flowable\"\n"), std::string("is an empty name")},
      std::pair{std::string("[spread.maturity_law]\nlaws = []\nweights = []\n"),
                std::string("spread.maturity_law.laws is an empty list")},
      std::pair{std::string("[spread.maturity_law]\nlaws = [\"chairside-rule\"]\nweights = [0]\n"),
                std::string("spread.maturity_law.weights are all 0")},
      std::pair{mine + "tensile_strenght = 40\n", std::string("did you mean \"tensile_strength\"?")},
      std::pair{std::string("[composite.mine]\nfrom = \"flowabel\"\n"),
                std::string("did you mean \"flowable\"?")},
      std::pair{std::string("[composite.mine]\ntensile_strength = 40\n"),
                std::string("composite.mine.light.reflection [-] is missing")},
      std::pair{std::string("[adhesive.mine]\nyoungs_modulus = 4000\n"),
                std::string("adhesive.mine.poisson_ratio [-] is missing")},
      std::pair{std::string("[adhesive.mine]\nfrom = \"universal-self-etch\"\nstrength_maturity = {law = "
                            "\"chairside-rule\", at_once = 0.8}\n"),
                std::string("maturity at once [-] is 0.8; must be in (0, 0.7]")},
      std::pair{std::string(
                    "[adhesive.mine]\nfrom = \"universal-self-etch\"\nstrength_maturity = {law = \"table\", "
                    "points = [[0, 0.5], [60, 0.4]]}\n"),
                std::string("of point 2 is 0.4; must be no less than")},
      std::pair{std::string(
                    "[adhesive.mine]\nfrom = \"universal-self-etch\"\nstrength_maturity = {law = \"table\", "
                    "points = [0, 0.5]}\n"),
                std::string("must be a list of pairs, [[s, -], [s, -], ...]")},
      std::pair{mine + "[composite.mine.flow]\nshare = 0.3\n",
                std::string("mine.flow.time_soft [s] is missing; must be above 0")},
      std::pair{mine + "[composite.mine.flow]\nvitrification = 0.3\ntime_soft = 5\n",
                std::string("mine.flow.time_set [s] is missing; must be above 0")},
      std::pair{mine + "[composite.mine.flow]\nshare = 0.3\ntime_soft = 5\ntime_set = 4\n",
                std::string("flow.time_set is 4 [s]; must not be below flow.time_soft, 5 s")},
      std::pair{mine + "[composite.mine.flow]\nsecond_time_soft = 5\n",
                std::string("flow.second_time_soft changes nothing here: flow.second_share is 0")},
      std::pair{
          mine + "[composite.mine.flow]\nshare = 0.7\ntime_soft = 5\ntime_set = 50\n"
                 "second_share = 0.4\nsecond_time_soft = 5\nsecond_time_set = 50\n",
          std::string("flow.second_share is 0.4 [-]; with flow.share, 0.7, it must not be more than 1")},
      std::pair{mine + "[composite.mine.flow]\nvolume = 1\n",
                std::string("flow.volume changes nothing here")},
      std::pair{mine + "[composite.mine.flow]\nshare = 1.2\n",
                std::string("flow.share is 1.2 [-]; must be between 0 and 1")},
      std::pair{mine + "[composite.mine.flow]\nshares = 1\n", std::string("did you mean")},
      std::pair{mine + "[composite.mine.stiffness]\nunset_poisson_ratio = 0.2\n",
                std::string("is 0.2 [-]; must not be below stiffness.poisson_ratio, 0.3")},
      std::pair{mine + "[composite.mine.cure]\ndark_share = 0\n",
                std::string("cure.dark_share is 0 [-]; must be above 0")},
      std::pair{std::string("[polish]\nx = 1\n"), std::string("polish is not a key")});
  CAPTURE(text);
  CHECK_THROWS_AS(with(text), CaseError);
  CHECK_THROWS_WITH(with(text), Contains(sentence));
}

TEST_CASE("a fracture energy below the elastic energy at strength is refused", "[cases]") {
  const std::string mine = "[adhesive.mine]\nfrom = \"two-step-self-etch\"\n";
  // S^2/(2 k) = 38^2/(2 * 1000) = 0.722 N/mm, far above the 0.089 N/mm of enamel
  CHECK_THROWS_WITH(with(mine + "normal_stiffness = 1000\n"),
                    Contains("strength.enamel.fracture_energy_opening is 0.089 [N/mm]; must be above 0.722"));
  // M/t = 4800 * 1.346/0.03 = 215 385 MPa/mm stores 38^2/(2 k) = 0.00335 N/mm; a film that starts at a
  // hundredth of its stiffness while its strength starts at half stores 50 times as much against its energy:
  // 0.1676
  CHECK_THROWS_WITH(with(mine + "[adhesive.mine.stiffness_maturity]\nlaw = \"table\"\n"
                                "points = [[0, 0.01], [600, 1.0]]\n"),
                    Contains("fracture_energy_opening is 0.089 [N/mm]; must be above 0.1676"));
  CHECK_NOTHROW(with(mine + "normal_stiffness = 30000\n"));
}

TEST_CASE("a file that is refused leaves the library as it was", "[cases]") {
  MaterialLibrary materials = library();
  const ScratchFolder folder;
  const auto file = folder.write(
      "mine.toml",
      "[tissue.enamel]\nfrom = \"enamel\"\nyoungs_modulus = 1\n[fixture.foam]\npoisson_ratio = 0\n");
  CHECK_THROWS_AS(materials.add(file), CaseError);
  CHECK(materials.tissue("enamel").values.youngs_modulus == 80000);
}

TEST_CASE("an unknown class is refused with the nearest name and all names", "[cases]") {
  CHECK_THROWS_WITH(library().composite("flowabel"),
                    Contains("did you mean \"flowable\"?") && Contains("bulk-fill-paste"));
  CHECK_THROWS_WITH(library().fixture("wood"), Contains("known are: aluminium"));
}
