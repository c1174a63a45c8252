// Bites: where the patch lies, what forces it lays on, and that a bond which holds gives all of it back.

#include <catch2/catch.hpp>

#include <numbers>

#include "solver/body/contact_patch.hpp"
#include "tests/mesh/hand_made.hpp"
#include "tests/solver/model_of.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

Bite bite_on_top(double radius, const Eigen::Vector3d& direction = {0, 0, -1}) {
  return {.surface = "top",
          .centre = Eigen::Vector2d(2.1, 1.9),
          .radius = radius,
          .force = 10,
          .direction = direction.normalized(),
          .start = 70,
          .ramp = 0.1,
          .hold = 0.1,
          .unload = 0.1};
}

Mesh joint() {
  return hand_made::mesh_of({.nx = 4, .ny = 4, .layers = {{"fixture", -1}, {"filling", 0}}});
}

/// A joint of cubes whose composite does not shrink, then a bite.
Model bitten_joint(const Bite& bite) {
  Model model;
  model.mesh = joint();
  model.materials.emplace_back(Elastic{"fixture", 10e3, 0.3});
  model.materials.emplace_back(always_stiff(10e3, 0.3, 0));
  model.adhesive = uniform_adhesive(1e5, 4e4, strong);
  model.substrates.assign(model.mesh.bond.size(), Substrate::fixture);
  model.fixed = {hold("bottom", true, true, true)};
  model.timeline = {
      .placements = {{0, 0.0}}, .exposures = {}, .bites = {bite}, .end = bite.end(), .extra_frames = {}};
  return model;
}

}  // namespace

// Resultant and moment of a uniform load on a disc; its rim is followed in 1/16 of a facet's edge.
TEST_CASE("a bite's forces add up to it, about the middle of a round patch", "[bite]") {
  const Mesh mesh = joint();
  const Bite bite = bite_on_top(1.2, {0.3, 0.1, -1});
  const ContactPatch patch = contact_patch(mesh, bite);
  CHECK(patch.centre.isApprox(Eigen::Vector3d(2.1, 1.9, 2.0), 1e-12));
  CHECK(patch.area == Approx(std::numbers::pi * 1.2 * 1.2).epsilon(0.01));
  Eigen::Vector3d sum = Eigen::Vector3d::Zero(), moment = Eigen::Vector3d::Zero();
  for (std::size_t n = 0; n < mesh.nodes.size(); ++n) {
    const Eigen::Vector3d force = patch.forces.segment<3>(3 * static_cast<Eigen::Index>(n));
    sum += force;
    moment += (mesh.nodes[n] - patch.centre).cross(force);
  }
  CHECK((sum - 10 * bite.direction).norm() < 1e-12);
  CHECK(moment.norm() < 0.01 * 10 * 1.2);
}

TEST_CASE("bites that cannot be are refused, naming what is at fault", "[bite]") {
  const Mesh mesh = joint();
  const auto fault = [&](const Bite& bite) {
    try {
      contact_patch(mesh, bite);
    } catch (const BiteFault& found) {
      return found.key + " " + found.what();
    }
    return std::string("none");
  };
  Bite bite = bite_on_top(1);
  bite.surface = "occlusal buccal";
  CHECK_THAT(fault(bite), Contains("surface is \"occlusal buccal\"; this shape has: bottom, top"));
  bite = bite_on_top(1);
  bite.centre = Eigen::Vector2d(9, 1);
  CHECK_THAT(fault(bite), Contains("centre is [9, 1]") && Contains("x 0 to 4"));
  CHECK_THAT(fault(bite_on_top(2.5)), Contains("radius is 2.5 [mm]") && Contains("must be smaller"));
  CHECK_THAT(fault(bite_on_top(1, {0, 0.1, 1})), Contains("direction") && Contains("must push into"));
  bite = bite_on_top(1);
  bite.start = -1;
  Model early = bitten_joint(bite);
  early.timeline.end = 10;
  CHECK_THROWS_WITH(final_frame(early, {}), Contains("a bite acts from -1 s"));
}

TEST_CASE("a bond that holds carries a bite to the support and gives its work back", "[bite]") {
  Bite bite = bite_on_top(1, {0.2, 0, -1});
  bite.start = 1;
  bite.pause = 0.2;
  bite.cycles = 2;
  const Model model = bitten_joint(bite);
  double largest_work = 0;
  int at_full = 0;
  Frame last;
  const Outcome outcome = simulate(model, {.equilibrium_tolerance = 1e-11, .linear_tolerance = 1e-12},
                                   [&](const Frame& frame, const Progress&) {
                                     largest_work = std::max(largest_work, frame.energies.bite_work);
                                     if (frame.event.starts_with("bite 1 full")) {
                                       ++at_full;
                                       CHECK((frame.reactions[0] + 10 * bite.direction).norm() < 1e-5);
                                       CHECK(frame.bite_force == Approx(10));
                                     }
                                     last = frame;
                                     return true;
                                   });
  CHECK(at_full == 2);
  CHECK(outcome.largest_energy_error < 1e-6);
  CHECK(largest_work > 1e-6);
  CHECK(std::abs(last.energies.bite_work) < 1e-6 * largest_work);
  CHECK(last.energies.load_work == last.energies.bite_work);
  CHECK(last.event == "bite 1 off, end");
}
