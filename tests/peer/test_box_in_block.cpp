// A filled box in a tooth, from its case file, against a general-purpose finite-element library (GetFEM;
// Renard and Poulios 2020, ACM Trans Math Softw 47(1):4, doi 10.1145/3412849) on the same mesh. Both are
// exact solutions of the same linear system but for rounding and the tolerances of the linear solves, so they
// agree far better than meshes do.

#include <catch2/catch.hpp>

#include "cases/file/read_case.hpp"
#include "cases/pose/pose.hpp"
#include "tests/check_record.hpp"
#include "tests/peer/peer_solution.hpp"
#include "tests/scratch_folder.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace {

/// Composite that is stiff from the start and set all through at the end: the plain eigenstrain problem.
/// Invented.
const std::string filled_box = R"(
[tooth]
length = 6.0
width = 6.5
crown_height = 3.0
root_depth = 2.0
edge_radius = 1.0
occlusal_enamel = 1.0
side_enamel = 0.8
[materials]
filling = "conventional-paste"
tissue_attenuation = 0.0
[materials.override.conventional-paste]
volumetric_shrinkage = 0.021
[materials.override.conventional-paste.light]
reflection = 0.0
attenuation = 0.0
[materials.override.conventional-paste.cure]
rate = 0.5
irradiance_exponent = 0.5
order_growth = 0.0
order_depletion = 1.0
[materials.override.conventional-paste.stiffness]
youngs_modulus = 9000.0
poisson_ratio = 0.28
gel_point = 0.0
exponent = 0.0
[bond]
normal_stiffness = 180000.0
shear_stiffness = 40000.0
[bond.strength_maturity]
law = "mature-at-once"
[bond.stiffness_maturity]
law = "mature-at-once"
[plan]
end = "1 s"
[[plan.increment]]
placing_time = 0.0
[[plan.increment.light]]
irradiance = 1000.0
duration = "100 s"
delay = "0 s"
[mesh]
fineness = 0.6
[solver]
linear_solver = "direct"
linear_tolerance = 1e-12
equilibrium_tolerance = 1e-10
)";

const std::string occlusal_box = R"(
[preparation]
kind = "occlusal-box"
depth = 1.6
length = 2.2
width = 2.6
taper = 6.0
line_angle_radius = 0.0
offset_y = 0.3
)";

const std::string proximal_box_on_ligament = R"(
[preparation]
kind = "proximal-box"
side = "distal"
depth = 3.6
length = 1.6
width = 2.8
line_angle_radius = 0.0
[support]
kind = "elastic"
[[pressure]]
surface = "occlusal buccal"
value = 12.0
[[free_strain]]
region = "dentin"
uniform = 4e-4
gradient = [1e-4, -5e-5, 2e-4]
)";

struct Solved {
  Model model;
  Frame end;
};

Solved solve(const std::string& case_text) {
  const ScratchFolder scratch;
  const Case input = read_case(scratch.write("case.toml", case_text));
  Solved solved{.model = pose(input), .end = {}};
  simulate(solved.model, input.solver, [&](const Frame& frame, const Progress&) {
    solved.end = frame;
    return true;
  });
  return solved;
}

Eigen::Matrix3d as_matrix(const Vector6d& v) {
  return Eigen::Matrix3d{{v(0), v(5), v(4)}, {v(5), v(1), v(3)}, {v(4), v(3), v(2)}};
}

/// Largest value and largest difference of a field, both as the length of its vectors [unit of the field].
struct Largest {
  double value = 0, difference = 0;
  template <typename Matrix>
  void take(const Matrix& computed, const Matrix& target) {
    value = std::max(value, target.norm());
    difference = std::max(difference, (computed - target).norm());
  }
  /// [-]
  [[nodiscard]] double relative() const { return difference / value; }
};

struct Differences {
  Largest displacement, traction, stress;
};

Differences between(const Solved& ours, const PeerSolution& peer) {
  Differences d;
  for (Eigen::Index node = 0; node < peer.displacement.size() / 3; ++node)
    d.displacement.take(Eigen::Vector3d(ours.end.displacement.segment<3>(3 * node)),
                        Eigen::Vector3d(peer.displacement.segment<3>(3 * node)));
  for (std::size_t f = 0; f < peer.traction.size(); ++f)
    for (std::size_t p = 0; p < 6; ++p) d.traction.take(ours.end.bond.at(f)[p].traction, peer.traction[f][p]);
  for (std::size_t t = 0; t < peer.stress.size(); ++t)
    for (std::size_t p = 0; p < 4; ++p) d.stress.take(as_matrix(ours.end.stress.at(t)[p]), peer.stress[t][p]);
  return d;
}

void verify_against_peer(const std::string& title, const std::string& case_text) {
  const Solved ours = solve(case_text);
  const Differences d = between(ours, solve_with_peer(ours.model));
  REQUIRE(d.displacement.value > 1e-3);
  REQUIRE(d.traction.value > 1);
  verify(
      {.chapter = "Independent solution",
       .title = title,
       .source =
           "GetFEM, a general-purpose finite-element library: its elements, quadrature, interface terms, "
           "assembly and sparse solver (Renard and Poulios 2020, ACM Trans Math Softw 47(1):4, "
           "doi 10.1145/3412849)",
       .formula =
           "Largest difference of the vectors (matrices) over the largest one, at every node, every point of "
           "the bond and every stress point.",
       .mesh = std::to_string(ours.model.mesh.unknowns()) + " unknowns, " +
               std::to_string(ours.model.mesh.bond.size()) + " bond facets, 0.6 mm along the bond",
       .tolerance_because =
           "Same discrete problem: only rounding and the tolerances of the linear solves differ.",
       .comparisons = {at_most("difference of displacements", "-", 1e-6, d.displacement.relative()),
                       at_most("difference of tractions on the bond", "-", 1e-6, d.traction.relative()),
                       at_most("difference of stresses", "-", 1e-6, d.stress.relative())}});
}

}  // namespace

TEST_CASE("occlusal box in a tooth on a fixed base, as by GetFEM", "[peer]") {
  verify_against_peer("occlusal box in a tooth on a fixed base", filled_box + occlusal_box);
}

TEST_CASE("proximal box on the ligament, under pressure and heat, as by GetFEM", "[peer]") {
  verify_against_peer("proximal box on the ligament, chewed on and warmed unevenly",
                      filled_box + proximal_box_on_ligament);
}
