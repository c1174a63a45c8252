// Weibull's weakest link (Weibull 1939, Ing Vetensk Akad Handl 151:1, from memory): why the strength of a 1
// mm2 stick is not that of a whole floor. The program scales chances by area, not the ratios themselves.
#include <catch2/catch.hpp>

#include <cmath>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/solved_case.hpp"

using namespace setstress::testing;

TEST_CASE("a strength measured on sticks, scaled to the area that the program reports", "[verification]") {
  const SolvedCase solved("[specimen]\nkind = \"butt-joint\"\nlength = 4.0\nwidth = 5.0\nheight = 1.0\n" +
                          materials({}) + film(240'000, 90'000) + lit_at_once + mesh(1, 1, 1) +
                          linear_solver + hold("bottom") + hold("top"));
  const double area = solved.bond_row("lower").at("area_mm2").get<double>();
  const double m = 4, stick = 35;  // modulus [-], characteristic strength of 1 mm2 [MPa]
  const double scale = std::pow(1 / area, 1 / m);
  const auto failing = [&](double stress, double over) {
    return 1 - std::exp(-over * std::pow(stress / stick, m));
  };
  verify(
      {.chapter = "Closed solutions: weakest link",
       .title = "A strength measured on sticks of 1 mm2, on the floor of a 4 x 5 mm joint",
       .source = "Weibull 1939, Ingenjorsvetenskapsakademiens Handlingar 151 (from memory); m 4 and 35 MPa "
                 "are examples",
       .formula = "Pf = 1 - exp(-(A/A0)(s/s0)^m); s1/s2 = (A2/A1)^(1/m)",
       .mesh = solved.mesh_text(),
       .tolerance_because = "the wall is flat: its area is exact; targets are given to three digits",
       .comparisons = {within_share("area of the wall", "mm2", 20, area, 1e-9),
                       within_share("mean strength of sticks", "MPa", 31.7, stick * std::tgamma(1 + 1 / m),
                                    0.002),
                       within_share("characteristic strength of the wall", "MPa", 16.55, stick * scale,
                                    0.001),
                       within_share("median strength of the wall", "MPa", 15.1,
                                    stick * scale * std::pow(std::log(2.0), 1 / m), 0.002),
                       within_share("share of sticks failing at 10 MPa", "-", 0.0066, failing(10, 1), 0.01),
                       within_share("share of walls failing at 10 MPa", "-", 0.125, failing(10, area), 0.01)},
       .verdict =
           "Stick strengths entered as they are make a wall look stronger than it is. Ratios are not scaled; "
           "the chance that a wall starts to fail is."});
}
