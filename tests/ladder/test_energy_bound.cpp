// Stored energy over what parting the bond takes, in a bar that pulls at plates which do not give.
#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/solved_case.hpp"

using namespace setstress::testing;

namespace energy_bound {
namespace {

std::string opening_takes(double energy, std::string film) {
  const std::string key = "fracture_energy_opening = ";
  for (std::size_t at = 0; (at = film.find(key, at)) != std::string::npos; at += key.size())
    film.replace(at, film.find('\n', at) - at, fmt::format("{}{}", key, energy));
  return film;
}

}  // namespace

TEST_CASE("stored energy over what parting the bond takes", "[verification]") {
  const Solids solids{.fixture_modulus = 1e9};
  constexpr double toughness =
      0.04;  // of opening [N/mm]; a film that slides needs more, which does not count
  const double height = 2, stiffness = 1e6;
  const SolvedCase bar("[specimen]\nkind = \"butt-joint\"\nheight = 2.0\nadherend_height = 0.5\n" +
                       materials(solids) + opening_takes(toughness, film(stiffness, slippery)) + lit_at_once +
                       mesh(0.7, 0.7, 0.7) + linear_solver + hold("bottom") + hold("top"));
  const double stress = solids.shrinkage * height / (height / solids.composite_modulus + 2 / stiffness);
  const double stored = 0.5 * stress * stress * (height / solids.composite_modulus + 2 / stiffness);
  const auto& bound = bar.summary().at("energy_bound");
  REQUIRE(bound.is_array());
  Check check{.chapter = "Closed solutions: flow and frames",
              .title = "Stored energy over what parting the bond takes",
              .source = "derived (Griffith's balance of a bar; springs in line)",
              .formula = "s^2/2 (h/E + 2/k) over 2 G for both films, over G for one",
              .mesh = "0.7 mm",
              .tolerance_because = "uniform stress, but for a film that hardly holds sideways",
              .comparisons = {}};
  for (const auto& part : bound) {
    const double films = part.at("wall") == "all" ? 2 : 1;
    check.comparisons.push_back(within_share(part.at("wall").get<std::string>(), "-",
                                             stored / (films * toughness),
                                             part.at("stored_over_needed").get<double>(), 0.005));
  }
  CHECK(check.comparisons.size() == 3);
  verify(check);
}

}  // namespace energy_bound
