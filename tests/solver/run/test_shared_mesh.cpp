// Many runs on one mesh: what is shared must not show in the results. No outside source is needed.

#include <catch2/catch.hpp>
#include <thread>

#include "solver/run/shared_mesh.hpp"
#include "tests/solver/model_of.hpp"

namespace setstress {
namespace {

const Elastic steel{.name = "steel", .youngs_modulus = 200e3, .poisson_ratio = 0.3};

/// A disc glued between two plates, whose bond lets go where it is weak; numbers are invented.
Model glued_disc(double shrinkage, double strength) {
  Model model = model_of(DiscBetweenPlates{.diameter = 3, .height = 1.5, .plate_thickness = 1}, fineness(0.6),
                         always_stiff(5000, 0.3, shrinkage), steel,
                         uniform_adhesive(2e4, 1e4,
                                          {.tensile = strength,
                                           .shear = strength,
                                           .fracture_energy_opening = 0.05,
                                           .fracture_energy_sliding = 0.05}));
  model.fixed = {hold("bottom", true, true, true), hold("top", true, true, true)};
  return model;
}

std::vector<double> bits_of(const Frame& frame) {
  std::vector<double> bits(frame.displacement.begin(), frame.displacement.end());
  for (const auto& tetrahedron : frame.stress)
    for (const Vector6d& stress : tetrahedron) bits.insert(bits.end(), stress.begin(), stress.end());
  bits.push_back(frame.energies.sum_of_sinks());
  return bits;
}

/// Of the last frame, with `shared` or, if null, on its own.
std::vector<double> solved(const Model& model, Mode mode, const SharedMesh* shared) {
  Frame last;
  const auto sink = [&](const Frame& frame, const Progress&) {
    last = frame;
    return true;
  };
  const SolveOptions options{.mode = mode, .threads = 1};
  if (shared)
    simulate(model, options, sink, *shared);
  else
    simulate(model, options, sink);
  return bits_of(last);
}

}  // namespace

TEST_CASE("runs on a shared mesh give the same bits as runs of their own", "[determinism][shared]") {
  const Mode mode = GENERATE(Mode::intact, Mode::debonding);
  const SharedMesh shared(glued_disc(0.001, 30));
  for (const auto& [shrinkage, strength] : {std::pair{0.004, 8.0}, {0.001, 30.0}, {0.004, 8.0}}) {
    const Model model = glued_disc(shrinkage, strength);
    const auto alone = solved(model, mode, nullptr);
    CHECK(alone.size() > 1000);
    CHECK(solved(model, mode, &shared) == alone);
  }
}

TEST_CASE("runs side by side on a shared mesh give the same bits", "[determinism][shared]") {
  const SharedMesh shared(glued_disc(0.001, 30));
  const Model strong_model = glued_disc(0.002, 30), weak_model = glued_disc(0.004, 8);
  std::vector<double> strong_bits, weak_bits;
  std::thread one([&] { strong_bits = solved(strong_model, Mode::debonding, &shared); });
  std::thread other([&] { weak_bits = solved(weak_model, Mode::debonding, &shared); });
  one.join();
  other.join();
  CHECK(strong_bits == solved(strong_model, Mode::debonding, nullptr));
  CHECK(weak_bits == solved(weak_model, Mode::debonding, nullptr));
}

TEST_CASE("a model with another mesh is refused", "[shared]") {
  const SharedMesh shared(glued_disc(0.001, 30));
  Model other = glued_disc(0.001, 30);
  other.mesh.nodes.back().x() += 1e-9;
  CHECK_THROWS_WITH(solved(other, Mode::intact, &shared), Catch::Contains("another mesh"));
  other = glued_disc(0.001, 30);
  other.foundations.push_back({.surface = "bottom", .normal = 10, .tangential = 10});
  CHECK_THROWS_WITH(solved(other, Mode::intact, &shared), Catch::Contains("springs"));
}

}  // namespace setstress
