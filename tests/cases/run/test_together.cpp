// Runs that advance together against the same runs alone, on the ready-made cases. No outside source is
// needed.

#include <catch2/catch.hpp>
#include <random>

#include "cases/pose/pose.hpp"
#include "cases/reader/data_folder.hpp"
#include "cases/run/run_settings.hpp"
#include "cases/run/solve_together.hpp"
#include "solver/group/simulate_together.hpp"

namespace setstress {
namespace together {
namespace {

constexpr int drawn = 5;  // of each case, beside the case itself

Case intact(const std::string& name, double tolerance) {
  Case input = case_for(
      name, {.mode = Mode::intact, .fineness = "2", .solver = LinearSolver::two_level, .threads = 1});
  input.solver.equilibrium_tolerance = tolerance;
  return input;
}

/// Tractions of the bond [MPa] and forces on supports [N] at every step.
using Numbers = std::vector<double>;

FrameSink taking(Numbers& tractions, Numbers& times) {
  return [&](const Frame& frame, const Progress&) {
    times.push_back(frame.time);
    for (const auto& facet : frame.bond)
      for (const BondPoint& point : facet)
        tractions.insert(tractions.end(), point.traction.begin(), point.traction.end());
    return true;
  };
}

/// Every value that lanes may have of their own, by up to a fifth.
Model drawn_from(const Model& base, std::mt19937& random) {
  const auto some = [&] { return std::uniform_real_distribution<double>(0.8, 1.2)(random); };
  Model model = base;
  for (RegionMaterial& material : model.materials)
    if (auto* composite = std::get_if<Composite>(&material)) {
      composite->volumetric_shrinkage *= some();
      composite->cure.rate *= some();
      composite->light.attenuation *= some();
      composite->stiffness.final_modulus *= some();
    }
  for (Exposure& exposure : model.timeline.exposures) exposure.irradiance *= some();
  model.adhesive.youngs_modulus *= some();
  return model;
}

void check_same_answers(const std::string& name) {
  INFO(name);
  const Case input = intact(name, 1e-9);
  const Model base = pose(input);
  if (!differs_from(base, base, input.solver).empty()) return;  // bites, fluid
  const SharedMesh shared(base);
  std::mt19937 random(7);
  std::vector<Model> models{base};
  for (int i = 0; i < drawn; ++i) models.push_back(drawn_from(base, random));
  std::vector<Numbers> found(models.size()), times(models.size());
  std::vector<Member> members;
  for (std::size_t i = 0; i < models.size(); ++i) members.push_back({&models[i], taking(found[i], times[i])});
  const auto outcomes = simulate_together(base, members, input.solver, shared, 8);
  for (std::size_t i = 0; i < models.size(); ++i) {
    INFO("run " << i);
    REQUIRE_FALSE(outcomes[i].failure);
    CHECK(10 * outcomes[i].steps_alone <= outcomes[i].outcome.timings.steps);
    Numbers alone, own_times;
    simulate(models[i], input.solver, taking(alone, own_times), shared);
    REQUIRE(times[i] == own_times);
    double largest = 0, apart = 0;
    for (std::size_t k = 0; k < alone.size(); ++k) {
      largest = std::max(largest, std::abs(alone[k]));
      apart = std::max(apart, std::abs(alone[k] - found[i][k]));
    }
    CHECK(apart <= 1e-6 * largest);
  }
}

}  // namespace

TEST_CASE("runs that advance together give the answers of runs alone on all ready-made cases",
          "[.][long][verification][group]") {
  for (const auto& file : ready_made_cases()) check_same_answers(file.stem().string());
}

TEST_CASE("cases solved together have the numbers of cases solved alone", "[group]") {
  const Case input = intact("disc-between-plates", 1e-6);
  const Model base = pose(input);
  const SharedMesh shared(base);
  std::mt19937 random(7);
  const std::vector<Model> models{drawn_from(base, random), drawn_from(base, random)};
  Case debonding = input;
  debonding.solver.mode = Mode::debonding;
  const std::vector<PosedCase> cases{
      {&input, models.data()}, {&debonding, models.data()}, {&input, models.data() + 1}};
  const auto solved = solve_together({&input, &base}, cases, shared, 8);
  CHECK_FALSE(solved[1]);  // its bond may let go
  for (const std::size_t i : {std::size_t{0}, std::size_t{2}}) {
    REQUIRE(solved[i]);
    const SolvedCase alone = solve_case(input, *cases[i].model, cases[i].watch, shared);
    REQUIRE(solved[i]->history.size() == alone.history.size());
    const auto& one = alone.summary.at("bond").back().at("end").at("stress_to_strength_mean");
    const auto& other = solved[i]->summary.at("bond").back().at("end").at("stress_to_strength_mean");
    CHECK(one.get<double>() > 0.01);
    CHECK(std::abs(one.get<double>() - other.get<double>()) < 1e-6 * one.get<double>());
  }
}

}  // namespace together
}  // namespace setstress
