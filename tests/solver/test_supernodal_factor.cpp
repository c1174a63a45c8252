// The factor in single precision, found front by front, its branches worked on side by side, against
// CHOLMOD's in double precision.

#include <omp.h>

#include <catch2/catch.hpp>

#include "elastic_box.hpp"
#include "solver/block_cholesky.hpp"
#include "solver/coarse_level.hpp"
#include "solver/linear_solver.hpp"
#include "solver/multifrontal.hpp"

namespace setstress {
namespace {

struct Factored {
  explicit Factored(const testing::ElasticBox& box)
      : system(box),
        cholesky({system.nodes(), system.graph.row_start, system.graph.column}),
        pattern(std::make_shared<const SupernodalPattern>(cholesky.pattern())),
        multifrontal({system.nodes(), system.graph.row_start, system.graph.column}, pattern),
        good(multifrontal.factorise(system.values, factor)) {}
  testing::BoxSystem system;
  BlockCholesky cholesky;
  std::shared_ptr<const SupernodalPattern> pattern;
  Multifrontal multifrontal;
  SupernodalFactor factor;
  bool good;
};

constexpr testing::ElasticBox box_of(int cells) {
  return {.cells = cells, .lower = 20e3, .upper = 2e3, .spring = 1e4};
}

}  // namespace

TEST_CASE("a large factor has branches that cover it together with the trunk", "[linear]") {
  const Factored factored(box_of(8));
  const SupernodalPattern& pattern = *factored.pattern;
  REQUIRE(pattern.branches.size() >= 2);
  std::vector<int> covered(pattern.first_column.size() - 1, 0);
  for (const SupernodalPattern::Branch& branch : pattern.branches)
    for (std::int64_t s = branch.first; s < branch.last; ++s) ++covered[static_cast<std::size_t>(s)];
  for (const std::int64_t s : pattern.trunk) ++covered[static_cast<std::size_t>(s)];
  CHECK(std::all_of(covered.begin(), covered.end(), [](int times) { return times == 1; }));
  // Nothing in a branch leads to another branch.
  for (const SupernodalPattern::Branch& branch : pattern.branches) {
    const std::int64_t end = pattern.first_column[static_cast<std::size_t>(branch.last)];
    bool leads_astray = false;
    for (std::int64_t k = pattern.row_start[static_cast<std::size_t>(branch.first)];
         k < pattern.row_start[static_cast<std::size_t>(branch.last)]; ++k) {
      const std::int32_t row = pattern.row[static_cast<std::size_t>(k)];
      leads_astray |= row >= end && pattern.trunk_place[static_cast<std::size_t>(row)] < 0;
    }
    CHECK_FALSE(leads_astray);
  }
}

TEST_CASE("a small factor has no branches", "[linear]") {
  const Factored factored(box_of(2));
  CHECK(factored.pattern->branches.empty());
  CHECK(factored.pattern->trunk.size() + 1 == factored.pattern->first_column.size());
}

TEST_CASE("the factor in single precision is the one in double, rounded", "[verification][linear]") {
  Factored factored(box_of(GENERATE(2, 3, 8)));
  REQUIRE(factored.good);
  factored.cholesky.factorise(factored.system.values);
  SupernodalFactor rounded{factored.pattern, {}};
  factored.cholesky.copy_to(rounded.value);
  double worst = 0;
  for (std::int64_t s = 0; s < factored.pattern->supernodes(); ++s) {
    // Above the diagonal there is nothing to compare.
    const Eigen::MatrixXf found = factored.factor.panel(s).triangularView<Eigen::Lower>();
    const Eigen::MatrixXf expected = rounded.panel(s).triangularView<Eigen::Lower>();
    worst =
        std::max<double>(worst, (found - expected).cwiseAbs().maxCoeff() / expected.cwiseAbs().maxCoeff());
  }
  CHECK(worst <= 1e-4);  // pivots keep a hundredth and more of what the matrix had there
}

TEST_CASE("the factor in single precision solves as the one in double, on any threads",
          "[verification][linear]") {
  Factored factored(box_of(GENERATE(2, 8)));
  REQUIRE(factored.good);
  Eigen::VectorXd exact;
  factored.cholesky.factorise(factored.system.values);
  factored.cholesky.solve(factored.system.load, exact);
  const int before = omp_get_max_threads();
  std::array<Eigen::VectorXf, 2> found;
  std::array<SupernodalFactor, 2> factors;
  for (const int threads : {1, 2}) {
    const auto which = static_cast<std::size_t>(threads - 1);
    omp_set_num_threads(threads);
    REQUIRE(factored.multifrontal.factorise(factored.system.values, factors[which]));
    factors[which].solve(factored.system.load.cast<float>(), found[which]);
  }
  omp_set_num_threads(before);
  CHECK((found[0].cast<double>() - exact).norm() <= 1e-3 * exact.norm());  // condition about 1e4, in float
  CHECK((found[0].array() == found[1].array()).all());
  CHECK(std::equal(factors[0].value.data(), factors[0].value.data() + factors[0].value.size(),
                   factors[1].value.data()));
}

TEST_CASE("a factor that single precision cannot hold is refused", "[linear]") {
  CHECK_FALSE(Factored({.cells = 3, .lower = 20e3, .upper = 2e3, .spring = 1e12}).good);  // loses nine digits
  testing::ElasticBox box = box_of(3);
  box.lower = -1;
  CHECK_FALSE(Factored(box).good);
}

TEST_CASE("a coarse level that single precision cannot hold is factorised in double", "[linear]") {
  const testing::BoxSystem system({.cells = 4, .lower = 20e3, .upper = 2e3, .spring = 1e12});
  const SweepOrder order = make_sweep_order(system.graph);
  CoarseLevel coarse(system.graph, order);
  coarse.renew(system.matrix());
  const Eigen::VectorXf residual = order.by_place(system.load).cast<float>();
  Eigen::VectorXf correction = Eigen::VectorXf::Zero(residual.size());
  coarse.correct(residual, correction);
  CHECK(correction.allFinite());
  CHECK(correction.dot(residual) > 0);
}

TEST_CASE("a coarse matrix that was refused leaves nothing behind for the next", "[linear]") {
  testing::BoxSystem system(box_of(4));
  const SweepOrder order = make_sweep_order(system.graph);
  CoarseLevel fresh(system.graph, order), refused(system.graph, order);
  testing::ElasticBox turned = box_of(4);
  turned.lower = -1;
  system.reassemble(turned);
  CHECK_THROWS_AS(refused.renew(system.matrix()), NotPositiveDefinite);
  system.reassemble(box_of(4));
  for (CoarseLevel* coarse : {&fresh, &refused}) coarse->renew(system.matrix());
  CHECK(refused.bytes() == fresh.bytes());  // no factor in double precision either
  const Eigen::VectorXf residual = order.by_place(system.load).cast<float>();
  Eigen::VectorXf expected = Eigen::VectorXf::Zero(residual.size()), found = expected;
  fresh.correct(residual, expected);
  refused.correct(residual, found);
  CHECK((found.array() == expected.array()).all());
}

}  // namespace setstress
