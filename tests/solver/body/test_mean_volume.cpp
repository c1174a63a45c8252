// Paste that keeps its volume but not its shape: elements must not lock. Reynolds' film of fluid between
// plates has a closed solution.
#include <catch2/catch.hpp>
#include <random>

#include "solver/body/mean_volume.hpp"
#include "solver/element/tetrahedron.hpp"
#include "tests/solver/model_of.hpp"

using namespace setstress;

namespace mean_volume {
namespace {

constexpr double poisson = 0.3, shear_modulus = 4000, bulk_modulus = shear_modulus * 2.6 / 1.2;  // [MPa]

/// Shear stiffness falls from point to point, bulk stiffness does not.
const std::array<Moduli, 4> flowing{Moduli{shear_modulus, bulk_modulus}, Moduli{400, bulk_modulus},
                                    Moduli{40, bulk_modulus}, Moduli{4, bulk_modulus}};

/// A tetrahedron of no particular shape.
TetrahedronGeometry some_tetrahedron() {
  Mesh mesh;
  mesh.nodes = {{0, 0, 0}, {1, 0.1, 0}, {0.2, 0.9, 0.1}, {0.3, 0.2, 0.8}};
  mesh.regions.emplace_back();
  return geometry_of(mesh, {.nodes = {0, 1, 2, 3}, .region = 0});
}

Vector30d any_displacement() {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> any(-1e-3, 1e-3);
  return Vector30d::NullaryExpr([&] { return any(random); });
}

/// Maxwell's fluid: shape flows within a twentieth of a second, volume does not.
constexpr double relaxation = 0.05, rate = 0.02, shrinkage = 0.002;  // [s], [1/s], linear [-]
constexpr double diameter = 3, height = 0.4, end = 20;               // [mm], [s]

Model fluid_between_plates(double size) {
  Composite paste = always_stiff(2.6 * shear_modulus, poisson, shrinkage);
  paste.cure.rate = rate;
  paste.flow.branches[0] = {.share = 1, .time_soft = relaxation, .time_set = relaxation};
  Model model = model_of(DiscBetweenPlates{.diameter = diameter, .height = height, .plate_thickness = 0.5},
                         fineness(size), paste, {"rigid", 1e9, 0.3}, uniform_adhesive(1e8, 1e8, strong));
  model.fixed = {hold("bottom", true, true, true), hold("top", true, true, true)};
  model.timeline.exposures.front().duration = model.timeline.end = end;
  return model;
}

}  // namespace

TEST_CASE("set composite keeps the element it always had", "[solver]") {
  std::array<Moduli, 4> set;
  set.fill({shear_modulus, bulk_modulus});
  const ElementModuli moduli = element_moduli(set, poisson);
  CHECK(moduli.bulk_of_mean < 1e-12 * bulk_modulus);
  const std::array<double, 4> change{1e-3, -2e-3, 5e-4, 0}, met = borne(set, moduli, change);
  for (std::size_t p = 0; p < 4; ++p) CHECK(met[p] == Approx(change[p]).margin(1e-15));
}

// The stiffness matrix is the derivative of what the stress points say, and symmetric; derived.
TEST_CASE("forces of an element that keeps its mean volume are its stiffness times displacement",
          "[solver]") {
  const TetrahedronGeometry geometry = some_tetrahedron();
  const ElementModuli moduli = element_moduli(flowing, poisson);
  const Vector30d displacement = any_displacement();
  const Eigen::Map<const Eigen::Matrix<double, 3, 10>> moved(displacement.data());
  std::array<Vector6d, 4> strains, stress;
  std::array<double, 4> change;
  for (std::size_t p = 0; p < 4; ++p) {
    strains[p] = strain(shape_gradients(geometry, stress_point(static_cast<int>(p))), moved);
    change[p] = strains[p].head<3>().sum();
  }
  const std::array<double, 4> met = borne(flowing, moduli, change);
  for (std::size_t p = 0; p < 4; ++p) {
    stress[p].head<3>() =
        2 * flowing[p].shear * (strains[p].head<3>().array() - change[p] / 3) + flowing[p].bulk * met[p];
    stress[p].tail<3>() = flowing[p].shear * strains[p].tail<3>();
  }
  const Eigen::Matrix<double, 3, 10> forces = nodal_forces(geometry, stress);
  const Matrix30d k = stiffness(geometry, moduli.shear, moduli.bulk, moduli.bulk_of_mean);
  const Vector30d product = k * displacement;
  CHECK((product - Eigen::Map<const Vector30d>(forces.data())).norm() < 1e-12 * product.norm());
  CHECK((k - k.transpose()).norm() == 0);
}

// What a film of fluid loses is drawn in from the rim (lubrication: Reynolds 1886, Phil Trans R Soc 177:157;
// derived for volume lost instead of plates that part): the mean pull is 3/2 eta (rate of volume) (R/h)^2,
// with eta = G tau, for discs much wider than high. The rim of this one takes 8 % off (0.312 MPa at 0.1 mm).
// With two elements across the answer is there; one alone can be half as high again (0.52 MPa at 0.25 mm),
// where volume kept at each of four points made it 2.4.
TEST_CASE("a disc of fluid that loses volume pulls at its plates as a thin film", "[verification][solver]") {
  const double size = GENERATE(0.4, 0.19);
  Outcome outcome;
  const Frame last = final_frame(fluid_between_plates(size), {.threads = 1}, &outcome);
  const double losing = 3 * shrinkage * rate * std::exp(-rate * end);
  const double film = 1.5 * shear_modulus * relaxation * losing * std::pow(0.5 * diameter / height, 2);
  const double area = 0.25 * 3.14159265358979 * diameter * diameter;
  const double pull = std::abs(last.reactions[1].z()) / area;
  CAPTURE(size, pull, film);
  CHECK(pull == Approx(film).epsilon(0.1));
  CHECK(outcome.largest_energy_error < 1e-6);
}

}  // namespace mean_volume
