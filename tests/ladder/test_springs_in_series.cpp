// Composite, adhesive films and blocks of dentin end to end, with free sides: springs in series.
#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/solved_case.hpp"

using namespace setstress::testing;

namespace springs_in_series {
namespace {

/// One row of the table. The film slides, so that the sides stay free and the problem has one dimension.
struct Row {
  std::string what;
  double composite;             ///< its length [mm]
  int films;                    ///< one or two
  double stiffness;             ///< of each [MPa/mm]
  double block, block_modulus;  ///< length of each [mm] and E [MPa]; as many blocks as films
  Solids solids = {};
  [[nodiscard]] double target() const {
    return solids.shrinkage * composite /
           (composite / solids.composite_modulus + films / stiffness + films * block / block_modulus);
  }
};

constexpr double rigid = 1e12;  // [MPa]

std::string case_of(const Row& row) {
  Solids solids = row.solids;
  solids.fixture_modulus = row.block_modulus;
  const std::string shape =
      row.films == 2
          ? fmt::format("kind = \"butt-joint\"\nheight = {}\nadherend_height = {}\n", row.composite,
                        row.block)
          : fmt::format("kind = \"layer-on-base\"\nlength = 1.0\nthickness = {}\nbase_thickness = {}\n",
                        row.composite, row.block);
  return "[specimen]\n" + shape + materials(solids) + film(row.stiffness, slippery) + lit_at_once +
         mesh(0.5, 0.5, 0.5) + linear_solver + hold("bottom", "z") + hold("top", "z") + hold("x0", "x") +
         hold("y0", "y");
}

}  // namespace

TEST_CASE("composite, films and blocks act as springs in series", "[verification]") {
  const std::vector<Row> rows{
      {"4 mm, two 20 um films of 240,000 MPa/mm (19.59)", 4, 2, 240'000, 0.5, rigid},
      {"4 mm, one film of 10,000 MPa/mm (16.00)", 4, 1, 10'000, 0.5, rigid},
      {"4 mm, one film of 1,000 MPa/mm (5.714)", 4, 1, 1'000, 0.5, rigid},
      {"4 mm, one film of 100 MPa/mm (0.769)", 4, 1, 100, 0.5, rigid},
      {"4 mm, two 20 um films and two 2 mm blocks of dentin (12.69)", 4, 2, 240'000, 2, 18'000},
      {"1 mm cube on a 1 mm cube, both 15,000 MPa, 1 % by volume, film stiff (25.0)",
       1,
       1,
       1e9,
       1,
       15'000,
       {.composite_modulus = 15'000, .shrinkage = 0.01 / 3}}};
  Check check{.chapter = "Closed solutions: springs in series",
              .title = "Composite, films and blocks end to end",
              .source = "derived; in brackets the values worked by hand",
              .formula = "sigma = e L/(L/E + n/Kn + n L_d/E_d), n films and blocks",
              .mesh = "0.5 mm",
              .tolerance_because =
                  "the field is piecewise linear, which the elements hold exactly; rigid is 1e12 MPa",
              .comparisons = {}};
  for (const Row& row : rows) {
    const SolvedCase solved(case_of(row));
    const double found = solved.bond_row("all").at("end").at("normal_traction_mean_MPa").get<double>();
    check.comparisons.push_back(within_share(row.what, "MPa", row.target(), found, 1e-5));
  }
  verify(check);
}

}  // namespace springs_in_series
