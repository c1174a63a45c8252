// Neither a mirror nor turning changes what happens: the same mesh, mirrored mesial to distal or buccal to
// lingual or turned about z, must give the mirrored or turned result. Derived: the laws know no direction.

#include <Eigen/Geometry>
#include <catch2/catch.hpp>

#include "tests/check_record.hpp"
#include "tests/properties/moved_model.hpp"
#include "tests/properties/solved_model.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace {

Eigen::Matrix3d turned_by(double degrees) {
  return Eigen::AngleAxisd(degrees * 3.14159265358979323846 / 180, Eigen::Vector3d::UnitZ())
      .toRotationMatrix();
}
Eigen::Matrix3d mirrored(double x, double y) {
  return Eigen::Vector3d(x, y, 1).asDiagonal();
}

/// Relative to the largest displacement and traction [-]; conversion and strength as they are.
struct Worst {
  double displacement = 0, traction = 0, conversion = 0, strength_lost = 0;
};

void compare(const Posed& p, const Eigen::Matrix3d& map, Worst& worst) {
  const Solved one = solved(p.model, p.options), other = solved(moved(p.model, map), p.options);
  const MovedDifference d = difference(one.end, map, other.end);
  worst.displacement =
      std::max(worst.displacement, d.displacement / one.end.displacement.cwiseAbs().maxCoeff());
  worst.traction = std::max(worst.traction, d.traction / traction_scale(one.end));
  worst.conversion = std::max(worst.conversion, d.conversion);
  worst.strength_lost = std::max(worst.strength_lost, d.strength_lost);
}

/// Tight linear solves and equilibrium, so that what is left is rounding.
Posed tightly_posed(const RandomCase& c) {
  Posed p = posed(c);
  p.options.linear_tolerance = 1e-11;
  p.options.equilibrium_tolerance = 1e-10;
  return p;
}

void verify_moved(const std::string& title, const std::vector<Eigen::Matrix3d>& maps,
                  const std::vector<std::uint64_t>& usual) {
  Worst worst;
  const auto drawn = seeds(usual);
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    const RandomCase c = random_case(drawn[i]);
    INFO(c.text());
    compare(tightly_posed(c), maps.at(i % maps.size()), worst);
  }
  verify(
      {.chapter = "Properties of random cases",
       .title = title,
       .source = "derived: the laws know no direction",
       .formula = "the same mesh moved node by node; difference of the last frames",
       .mesh = "seeds " + listed(drawn) + "; 1,000 to 8,000 unknowns",
       .tolerance_because = "Equilibrium to 1e-10 of the forces, at some tens of steps.",
       .comparisons = {at_most("difference of displacements, of the largest", "-", 1e-6, worst.displacement),
                       at_most("difference of tractions, of the largest", "-", 1e-6, worst.traction),
                       at_most("difference of conversion", "-", 1e-9, worst.conversion),
                       at_most("difference of strength lost", "-", 1e-6, worst.strength_lost)}});
}

}  // namespace

TEST_CASE("a mirrored case gives the mirrored result", "[properties]") {
  verify_moved("a mirrored case gives the mirrored result", {mirrored(-1, 1), mirrored(1, -1)},
               {1, 3, 10, 11});
}

TEST_CASE("a case turned by 90 degrees, or any other angle, gives the turned result", "[properties]") {
  verify_moved("a turned case gives the turned result", {turned_by(90), turned_by(-90), turned_by(37)},
               {3, 6, 7, 10});
}
