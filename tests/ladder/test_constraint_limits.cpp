// Limits that follow from Hooke's law (any elasticity text; derived): E 10,000 MPa, nu 0.3, linear shrinkage
// 0.002.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "tests/check_record.hpp"
#include "tests/ladder/case_parts.hpp"
#include "tests/ladder/field_probe.hpp"
#include "tests/solved_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace constraint_limits {
namespace {

constexpr double modulus = 10'000, poisson = 0.3, shrinkage = 0.002;
const std::string chapter = "Closed solutions: constraint";

std::string block(const std::string& holds) {
  return "[specimen]\nkind = \"free-block\"\n" + materials({}) + lit_at_once + mesh(0.5, 0.5, 0.5) +
         linear_solver + holds;
}

/// The stress component furthest from `target` in any tetrahedron [MPa].
double furthest(const FieldProbe& probe, int component, double target) {
  double found = target;
  for (const Vector6d& s : probe.cell_stresses())
    if (std::abs(s(component) - target) > std::abs(found - target)) found = s(component);
  return found;
}

/// Axial stress [MPa] in the middle of a disc held between rigid plates.
double middle_of_disc(double diameter, double height, double size) {
  const SolvedCase solved(
      fmt::format("[specimen]\nkind = \"disc-between-plates\"\ndiameter = {}\nheight = {}\n", diameter,
                  height) +
      materials({}) + lit_at_once + mesh(size, size, size) + linear_solver + hold("bottom") + hold("top"));
  const Elasticity composite{modulus, poisson, [](const Eigen::Vector3d&) { return -shrinkage; }};
  return FieldProbe(solved.volume()).stress({0, 0, 0.5 * height}, "", composite)(2);
}

}  // namespace

TEST_CASE("a free block shrinks without stress", "[verification]") {
  const SolvedCase solved(block(hold("x0", "x") + hold("y0", "y") + hold("z0", "z")));
  const FieldProbe probe(solved.volume());
  double stress = 0;
  for (const Vector6d& s : probe.cell_stresses()) stress = std::max(stress, s.cwiseAbs().maxCoeff());
  const Eigen::Vector3d corner = probe.displacement({1, 1, 1});
  const double volume = (1 + corner.x()) * (1 + corner.y()) * (1 + corner.z()) - 1;
  verify({.chapter = chapter,
          .title = "A free block shrinks without stress",
          .source = "derived (Hooke's law)",
          .formula = "stress 0; volume change (1 - e)^3 - 1",
          .mesh = solved.mesh_text(),
          .tolerance_because =
              "the field is linear, which the elements hold exactly; files are in single precision",
          .comparisons = {within("largest stress component", "MPa", 0, stress, 1e-4),
                          within_share("volume change", "-", std::pow(1 - shrinkage, 3) - 1, volume, 1e-5)}});
}

TEST_CASE("shrinkage held along one, two and three axes", "[verification]") {
  const std::string all_free = hold("x0", "x") + hold("y0", "y") + hold("z0", "z");
  const SolvedCase one(block(all_free + hold("x1", "x")));
  const SolvedCase two(block(all_free + hold("x1", "x") + hold("y1", "y")));
  const SolvedCase three(block(all_free + hold("x1", "x") + hold("y1", "y") + hold("z1", "z")));
  const FieldProbe one_axis(one.volume()), two_axes(two.volume()), three_axes(three.volume());
  const double uniaxial = modulus * shrinkage, biaxial = uniaxial / (1 - poisson),
               triaxial = uniaxial / (1 - 2 * poisson);
  verify(
      {.chapter = chapter,
       .title = "Shrinkage held along one, two and three axes",
       .source = "derived (Hooke's law)",
       .formula =
           "E e = 20.0; E e/(1 - nu) = 28.57; E e/(1 - 2 nu) = 50.0 MPa; free axis of the second contracts "
           "e (1 + nu)/(1 - nu) = 0.003714",
       .mesh = one.mesh_text(),
       .tolerance_because = "uniform fields, which the elements hold exactly; files are in single precision",
       .comparisons = {
           within_share("one axis, stress along it", "MPa", uniaxial, furthest(one_axis, 0, uniaxial), 1e-5),
           within("one axis, stress across it", "MPa", 0, furthest(one_axis, 1, 0), 1e-3),
           within_share("two axes, stress in their plane", "MPa", biaxial, furthest(two_axes, 1, biaxial),
                        1e-5),
           within_share("two axes, contraction of the third", "-", shrinkage * (1 + poisson) / (1 - poisson),
                        -two_axes.displacement({1, 1, 1}).z(), 1e-5),
           within_share("three axes", "MPa", triaxial, furthest(three_axes, 2, triaxial), 1e-5)}});
}

TEST_CASE("a disc between rigid plates goes from the rod to the fully held limit as it gets thinner",
          "[verification]") {
  struct Disc {
    double diameter, height, size;
  };
  const std::vector<Disc> discs{{0.5, 20, 0.25}, {1, 20, 0.5},  {2, 20, 0.7}, {5, 20, 1.3},  {5, 10, 1},
                                {5, 5, 0.7},     {5, 2.5, 0.5}, {5, 1, 0.4},  {5, 0.5, 0.3}, {5, 0.25, 0.17}};
  const double uniaxial = modulus * shrinkage, triaxial = uniaxial / (1 - 2 * poisson);
  Series computed{"computed", Series::Style::points, {}, {}}, rod{"rod", Series::Style::line, {}, {}},
      held{"held on all sides", Series::Style::line, {}, {}};
  double smallest_rise = 1e300;
  for (const Disc& d : discs) {
    computed.x.push_back(d.diameter / d.height);
    computed.y.push_back(middle_of_disc(d.diameter, d.height, d.size));
    rod.x.push_back(computed.x.back());
    rod.y.push_back(uniaxial);
    held.x.push_back(computed.x.back());
    held.y.push_back(triaxial);
    const std::size_t n = computed.y.size();
    if (n > 1) smallest_rise = std::min(smallest_rise, computed.y[n - 1] - computed.y[n - 2]);
  }
  verify({.chapter = chapter,
          .title = "A disc between rigid plates, from tall rod to thin disc",
          .source = "derived (Hooke's law)",
          .formula = "axial stress in the middle: E e = 20.0 MPa (tall) to E e/(1 - 2 nu) = 50.0 MPa (thin)",
          .mesh = "two elements or more over the height, 790 to 5,200 tetrahedra",
          .tolerance_because =
              "at d/h = 20 the free rim is ten heights away; at h/d = 40 the two ends, held across, "
              "still add in proportion to d/h",
          .comparisons = {within_share("tall, h/d = 40", "MPa", uniaxial, computed.y.front(), 0.01),
                          within_share("thin, d/h = 20", "MPa", triaxial, computed.y.back(), 0.001),
                          at_least("smallest rise from one to the next thinner", "MPa", 0, smallest_rise)},
          .curves = {{.x_label = "diameter over height",
                      .y_label = "axial stress (MPa)",
                      .series = {rod, held, computed},
                      .logarithmic_x = true}}});
}

}  // namespace constraint_limits
