// A plug setting in a ring, a ball setting in a shell: uniform tension in the inclusion, Lame's solution
// around it. Eshelby 1957, Proc R Soc A 241:376, doi 10.1098/rspa.1957.0133, and Selsing 1961, J Am Ceram Soc
// 44:419 for the ball (from memory); with the film as a spring derived, and confirmed by an independent
// radial solution.
#include <catch2/catch.hpp>

#include <cmath>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/ladder/field_probe.hpp"
#include "tests/ladder/inclusions.hpp"
#include "tests/solved_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace inclusions {
namespace {

const std::string chapter = "Closed solutions: plug and ball";

struct Row {
  std::string what;
  double film;
  bool plane_strain = false;
  bool tied = false;
};

double tension_of(const SolvedCase& solved) {
  return solved.bond_row("all").at("end").at("normal_traction_mean_MPa").get<double>();
}

/// Mean tension in the middle of the ball [MPa]. A tied bond has no tractions of its own: what the elements
/// beside it say is off at the ridges of the polyhedron.
double in_the_middle(const Inclusion& ball, const SolvedCase& solved) {
  const Elasticity composite{ball.solids.composite_modulus, ball.solids.composite_poisson,
                             [&](const Eigen::Vector3d&) { return -ball.solids.shrinkage; }};
  return FieldProbe(solved.volume()).stress({0, 0, 0}, "increment 1", composite).head<3>().mean();
}

}  // namespace

TEST_CASE("a plug pulls on its ring as the two-dimensional solution says", "[verification]") {
  const Inclusion plug{.inner = 2.5, .outer = 5, .solids = {}};
  const std::vector<Row> rows{{"plane stress, film of 1,000,000 MPa/mm", 1e6},
                              {"plane stress, film of 240,000 MPa/mm (11.020)", 240'000},
                              {"plane stress, film of 10,000 MPa/mm (9.099)", 10'000},
                              {"plane stress, film of 1,000 MPa/mm (3.449)", 1'000},
                              {"plane strain, tied (16.429)", 0, true, true},
                              {"plane strain, film of 240,000 MPa/mm (16.258)", 240'000, true},
                              {"plane strain, film of 10,000 MPa/mm (13.114)", 10'000, true},
                              {"plane strain, film of 1,000 MPa/mm (4.657)", 1'000, true}};
  Check check{
      .chapter = chapter,
      .title = "Plug a 2.5 mm in a ring b 5 mm: radial tension at the bond",
      .source = "derived (Lame's solution with a free strain and a spring); in brackets worked by hand",
      .formula =
          "plane stress q = e/[(1-nu_i)/E_i + ((b2+a2)/(b2-a2)+nu_m)/E_m + 1/(Kn a)]; plane strain q = "
          "(1+nu_i) e/[(1+nu_i)(1-2nu_i)/E_i + (1+nu_m)((1-2nu_m)a2+b2)/(E_m(b2-a2)) + 1/(Kn a)]",
      .mesh = "",
      .tolerance_because =
          "circles are polygons of 0.25 mm sides (r 2.5): 0.1 % of the radius; the film "
          "slides in plane stress, so that height does not matter",
      .comparisons = {}};
  for (const Row& row : rows) {
    const SolvedCase solved(plug_case(plug, row.tied ? "" : film(row.film, slippery), row.plane_strain,
                                      mesh(0.25, 0.5, 0.7, row.tied)));
    const double spring = row.tied ? 0 : 1 / (row.film * plug.inner);
    const double target = row.plane_strain ? plug.plane_strain(spring) : plug.plane_stress(spring);
    check.comparisons.push_back(within_share(row.what, "MPa", target, tension_of(solved), 0.003));
    check.mesh = solved.mesh_text();
  }
  const double height =
      0.15;  // [mm]: thin, so that the bond's holding back along the axis is not felt in the middle
  const SolvedCase thin(plug_case(plug, "", false, mesh(0.15, 0.3, 0.5, true), height));
  const Elasticity composite{plug.solids.composite_modulus, plug.solids.composite_poisson,
                             [&](const Eigen::Vector3d&) { return -plug.solids.shrinkage; }};
  const double middle = FieldProbe(thin.volume()).stress({0, 0, 0}, "increment 1", composite)(0);
  check.comparisons.push_back(
      within_share("plane stress, tied, 0.15 mm high, in the middle of the plug (11.123)", "MPa",
                   plug.plane_stress(0), middle, 0.01));
  verify(check);
}

TEST_CASE("a ball pulls on its shell as the spherical solution says", "[verification]") {
  const Inclusion infinite{.inner = 2, .outer = 40, .solids = {}},
      shell{.inner = 2, .outer = 4, .solids = {}},
      rigid{.inner = 2, .outer = 4, .solids = {.fixture_modulus = 1e12}};
  Check check{
      .chapter = chapter,
      .title = "Ball a 2 mm in a shell: radial tension at the bond; where tied, tension in the ball's middle",
      .source =
          "Eshelby 1957 Proc R Soc A 241:376 doi 10.1098/rspa.1957.0133; Selsing 1961 J Am Ceram Soc "
          "44:419 (from memory); with film derived; in brackets worked by hand",
      .formula = "q = e/[(1-2nu_i)/E_i + ((1-nu_m)(2a3+b3)/(2(b3-a3)) + nu_m)/E_m + 1/(Kn a)]",
      .mesh = "",
      .tolerance_because = "the sphere is a polyhedron of 0.25 mm sides (r 2)",
      .comparisons = {}};
  const auto compare = [&](const std::string& what, const Inclusion& ball, double stiffness, double far) {
    const bool tied = stiffness == 0;
    const SolvedCase solved(
        ball_case(ball, tied ? "" : film(stiffness, slippery), mesh(0.25, 0.5, far, tied)));
    const double spring = tied ? 0 : 1 / (stiffness * ball.inner);
    const double found = tied ? in_the_middle(ball, solved) : tension_of(solved);
    check.comparisons.push_back(within_share(what, "MPa", ball.spherical(spring), found, 0.005));
    check.mesh = solved.mesh_text();
  };
  compare("infinite matrix (b 40), tied (26.182)", infinite, 0, 8);
  compare("infinite matrix, film of 240,000 MPa/mm (25.487)", infinite, 240'000, 8);
  compare("infinite matrix, film of 10,000 MPa/mm (15.824)", infinite, 10'000, 8);
  compare("infinite matrix, film of 1,000 MPa/mm (3.470)", infinite, 1'000, 8);
  compare("shell b 4, tied (23.640)", shell, 0, 0.4);
  compare("rigid matrix, tied (50.0)", rigid, 0, 0.8);
  verify(check);
}

TEST_CASE("the stress inside a ball in an infinite matrix is uniform", "[verification]") {
  const Inclusion ball{.inner = 2, .outer = 40, .solids = {}};
  const SolvedCase solved(ball_case(ball, "", mesh(0.2, 0.5, 8, true)));
  const FieldProbe probe(solved.volume());
  const std::vector<Vector6d> stresses = probe.cell_stresses("increment 1");
  double mean = 0, spread = 0, shear = 0;
  for (const Vector6d& s : stresses) mean += s.head<3>().mean() / static_cast<double>(stresses.size());
  for (const Vector6d& s : stresses) {
    spread = std::max(spread, (s.head<3>().array() - mean).abs().maxCoeff());
    shear = std::max(shear, s.tail<3>().cwiseAbs().maxCoeff());
  }
  verify({.chapter = chapter,
          .title = "The stress inside a ball in an infinite matrix is uniform",
          .source = "Eshelby 1957 Proc R Soc A 241:376 doi 10.1098/rspa.1957.0133",
          .formula = "sigma_xx = sigma_yy = sigma_zz = q everywhere inside",
          .mesh = solved.mesh_text(),
          .tolerance_because =
              "mean of each tetrahedron; next to the polyhedral bond the field bends with the facets",
          .comparisons = {within_share("mean", "MPa", ball.spherical(0), mean, 0.005),
                          within("largest departure of a normal stress", "MPa", 0, spread, 0.02 * mean),
                          within("largest shear", "MPa", 0, shear, 0.02 * mean)}});
}

}  // namespace inclusions
