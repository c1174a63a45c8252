// Runs that advance together are the runs that each is alone. No outside source is needed.

#include <catch2/catch.hpp>

#include "solver/group/simulate_together.hpp"
#include "tests/solver/model_of.hpp"

namespace setstress {
namespace {

const Elastic plate{.name = "steel", .youngs_modulus = 200e3, .poisson_ratio = 0.3};

/// What sets in one of a group's runs; numbers are invented.
struct Values {
  double modulus = 8000, shrinkage = 0.004, rate = 0.5, film = 2e4, lit = 30, wait = 3;
  double unset_poisson_ratio = 0, flows_until = 0;
};

/// A disc glued between plates.
Model glued_disc(const Values& values) {
  Composite composite = always_stiff(values.modulus, 0.3, values.shrinkage);
  composite.light.attenuation = 0.3;
  composite.cure.rate = values.rate;
  composite.stiffness.gel_point = 0.1;
  composite.stiffness.exponent = 2;
  composite.stiffness.unset_poisson_ratio = values.unset_poisson_ratio;
  composite.flow.vitrification = values.flows_until;
  composite.flow.branches[0] = {.share = 0, .time_soft = 1, .time_set = 1e4};
  Model model = model_of(DiscBetweenPlates{.diameter = 3, .height = 1.5, .plate_thickness = 1}, fineness(0.8),
                         composite, plate, uniform_adhesive(values.film, 0.5 * values.film, strong));
  model.fixed = {hold("bottom", true, true, true), hold("top", true, true, true)};
  model.timeline.placements.front().time = values.wait;
  model.timeline.exposures.front().start = values.wait + 2;
  model.timeline.exposures.front().duration = values.lit;
  model.timeline.end = values.wait + 60;
  return model;
}

const Values leading{};
const std::vector<Values> others{{.modulus = 12e3, .shrinkage = 0.006},
                                 {.rate = 0.3, .lit = 20},
                                 {.film = 1e5, .wait = 7},
                                 {.modulus = 5e3, .unset_poisson_ratio = 0.45, .flows_until = 0.8}};

struct Seen {
  std::vector<double> times, tractions, energies;
  bool operator==(const Seen&) const = default;
};

FrameSink seeing(Seen& seen) {
  return [&](const Frame& frame, const Progress&) {
    seen.times.push_back(frame.time);
    seen.energies.push_back(frame.energies.sum_of_sinks());
    for (const auto& facet : frame.bond)
      for (const BondPoint& point : facet)
        seen.tractions.insert(seen.tractions.end(), point.traction.begin(), point.traction.end());
    return true;
  };
}

const SolveOptions tight{.threads = 1, .equilibrium_tolerance = 1e-9};

Seen alone(const Model& model, const SolveOptions& options) {
  Seen seen;
  simulate(model, options, seeing(seen));
  return seen;
}

std::vector<Model> models_of(const std::vector<Values>& values) {
  std::vector<Model> models;
  for (const Values& one : values) models.push_back(glued_disc(one));
  return models;
}

struct Together {
  std::vector<Seen> seen;
  std::vector<MemberOutcome> outcomes;
};

Together together(const std::vector<Model>& models, const SolveOptions& options, int lanes) {
  const Model leader = glued_disc(leading);
  const SharedMesh shared(leader);
  Together result{std::vector<Seen>(models.size()), {}};
  std::vector<Member> members;
  for (std::size_t i = 0; i < models.size(); ++i) members.push_back({&models[i], seeing(result.seen[i])});
  result.outcomes = simulate_together(leader, members, options, shared, lanes);
  return result;
}

double largest(const std::vector<double>& values) {
  double most = 0;
  for (const double value : values) most = std::max(most, std::abs(value));
  return most;
}

double largest_difference(const std::vector<double>& a, const std::vector<double>& b) {
  REQUIRE(a.size() == b.size());
  double most = 0;
  for (std::size_t i = 0; i < a.size(); ++i) most = std::max(most, std::abs(a[i] - b[i]));
  return most;
}

}  // namespace

TEST_CASE("runs that advance together take the steps and give the answers of runs alone", "[group]") {
  const std::vector<Model> models = models_of(others);
  const Together found = together(models, tight, 8);
  for (std::size_t i = 0; i < models.size(); ++i) {
    INFO("run " << i);
    CHECK_FALSE(found.outcomes[i].failure);
    CHECK(found.outcomes[i].outcome.finished);
    CHECK(found.outcomes[i].steps_alone == 0);
    const Seen own = alone(models[i], tight);
    CHECK(found.seen[i].times == own.times);
    CHECK(largest(own.tractions) > 1);
    // A hundredth of what is promised: both are balanced to 1e-9.
    CHECK(largest_difference(found.seen[i].tractions, own.tractions) < 1e-8 * largest(own.tractions));
    CHECK(largest_difference(found.seen[i].energies, own.energies) < 1e-8 * largest(own.energies));
    CHECK(found.outcomes[i].outcome.largest_energy_error < 1e-6);
  }
}

TEST_CASE("runs with tissues of their own give the answers of runs alone", "[group]") {
  std::vector<Model> models = models_of({others[0], others[1]});
  models.front().foundations = {{"top", 50, 20}};
  for (RegionMaterial& material : models.front().materials)
    if (auto* elastic = std::get_if<Elastic>(&material)) elastic->youngs_modulus *= 0.3;
  models.back().foundations = models.front().foundations;
  for (Model& model : models) model.fixed.pop_back();  // the upper plate stands on springs
  Model leader = glued_disc(leading);
  leader.foundations = models.front().foundations;
  leader.fixed.pop_back();
  CHECK_THAT(differs_from(leader, models.front(), tight), Catch::Contains("tissues"));
  const SharedMesh shared(leader);
  std::vector<Seen> seen(2);
  const std::vector<Member> members{{&models[0], seeing(seen[0])}, {&models[1], seeing(seen[1])}};
  const auto outcomes = simulate_together(leader, members, tight, shared, 8, Tissues::each_its_own);
  for (std::size_t i = 0; i < 2; ++i) {
    CHECK_FALSE(outcomes[i].failure);
    CHECK(outcomes[i].steps_alone == 0);
    const Seen own = alone(models[i], tight);
    CHECK(seen[i].times == own.times);
    CHECK(largest_difference(seen[i].tractions, own.tractions) < 1e-8 * largest(own.tractions));
  }
}

TEST_CASE("bits of a run depend neither on who advances with it nor on the number of lanes",
          "[group][determinism]") {
  const std::vector<Model> models = models_of(others);
  const SolveOptions options{.threads = 1};
  const Together all = together(models, options, 8);
  CHECK(together({models[2], models[0]}, options, 16).seen == std::vector{all.seen[2], all.seen[0]});
  CHECK(together({models[1]}, options, 32).seen.front() == all.seen[1]);
}

TEST_CASE("where filling only shrinks, former steps of a run in lanes tell the next", "[group]") {
  Model model = glued_disc(leading);
  for (RegionMaterial& material : model.materials)
    if (auto* composite = std::get_if<Composite>(&material)) {
      composite->light.attenuation = 0;  // everywhere alike
      composite->stiffness.gel_point = composite->stiffness.exponent = 0;
    }
  const Timings timings = together({model}, {.threads = 1}, 8).outcomes.front().outcome.timings;
  CHECK(timings.steps > 20);
  CHECK(timings.linear_solves < timings.steps);  // some take none
}

TEST_CASE("a step that the group does not balance is balanced as in a run alone", "[group]") {
  const std::vector<Model> models = models_of({others.front()});
  const SolveOptions hurried{.threads = 1, .equilibrium_tolerance = 1e-9, .most_linear_iterations = 1};
  const Together found = together(models, hurried, 8);
  CHECK(found.outcomes.front().steps_alone > 10);
  CHECK(found.seen.front() == alone(models.front(), hurried));
}

TEST_CASE("what goes wrong in one run of a group, or is stopped, ends that run alone", "[group]") {
  const std::vector<Model> models = models_of({others[0], others[1], others[2]});
  const Model leader = glued_disc(leading);
  const SharedMesh shared(leader);
  Seen whole;
  int until_stop = 5, until_throw = 8;
  const std::vector<Member> members{
      {&models[0], [&](const Frame&, const Progress&) { return --until_stop > 0; }},
      {&models[1],
       [&](const Frame&, const Progress&) {
         if (--until_throw == 0) throw SolveError("invented");
         return true;
       }},
      {&models[2], seeing(whole)}};
  const SolveOptions options{.threads = 1};
  const auto outcomes = simulate_together(leader, members, options, shared, 8);
  CHECK(until_stop == 0);
  CHECK_FALSE(outcomes[0].outcome.finished);
  CHECK_FALSE(outcomes[0].failure);
  REQUIRE(outcomes[1].failure);
  CHECK_THROWS_WITH(std::rethrow_exception(outcomes[1].failure), "invented");
  CHECK(whole == together({models[2]}, options, 8).seen.front());
}

TEST_CASE("runs that cannot advance together are refused with the reason", "[group]") {
  const Model leader = glued_disc(leading);
  const SolveOptions options;
  CHECK(differs_from(leader, glued_disc(others[1]), options).empty());
  CHECK_THAT(differs_from(leader, leader, {.mode = Mode::debonding}), Catch::Contains("let go"));
  CHECK_THAT(differs_from(leader, leader, {.linear_solver = LinearSolver::direct}),
             Catch::Contains("direct"));
  Model other = leader;
  other.fixed.pop_back();
  CHECK_THAT(differs_from(leader, other, options), Catch::Contains("held"));
  other = leader;
  for (RegionMaterial& material : other.materials)
    if (auto* elastic = std::get_if<Elastic>(&material)) elastic->youngs_modulus *= 2;
  CHECK_THAT(differs_from(leader, other, options), Catch::Contains("tissues"));
  other = leader;
  other.gap_fluid.emplace();
  CHECK_THAT(differs_from(leader, other, options), Catch::Contains("fluid"));
  other = leader;
  other.timeline.bites.emplace_back();
  CHECK_THAT(differs_from(leader, other, options), Catch::Contains("bitten"));
  other = glued_disc({.wait = 0});  // placed at once: one instant less
  CHECK_THAT(differs_from(leader, other, options), Catch::Contains("order"));
  CHECK_THROWS_WITH(together({other}, options, 8), Catch::Contains("another order"));
  CHECK_THROWS_WITH(together({leader}, options, 12), Catch::Contains("12"));
  CHECK_THROWS_WITH(together(std::vector<Model>(9, leader), options, 8), Catch::Contains("9 runs"));
}

}  // namespace setstress
