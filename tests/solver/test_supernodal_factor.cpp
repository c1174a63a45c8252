// The factor in single precision, its branches solved side by side, against the factor it was made from.

#include <omp.h>

#include <catch2/catch.hpp>

#include "elastic_box.hpp"
#include "solver/block_cholesky.hpp"

namespace setstress {
namespace {

struct Factored {
  explicit Factored(int cells)
      : system({.cells = cells, .lower = 20e3, .upper = 2e3, .spring = 1e4}),
        cholesky({system.nodes(), system.graph.row_start, system.graph.column}) {
    cholesky.factorise(system.values);
    cholesky.copy_to(factor);
  }
  testing::BoxSystem system;
  BlockCholesky cholesky;
  SupernodalFactor factor;
};

}  // namespace

TEST_CASE("a large factor has branches that cover it together with the trunk", "[linear]") {
  const Factored factored(8);
  const SupernodalFactor& factor = factored.factor;
  REQUIRE(factor.branches.size() >= 2);
  std::vector<int> covered(factor.first_column.size() - 1, 0);
  for (const SupernodalFactor::Branch& branch : factor.branches)
    for (std::int64_t s = branch.first; s < branch.last; ++s) ++covered[static_cast<std::size_t>(s)];
  for (const std::int64_t s : factor.trunk) ++covered[static_cast<std::size_t>(s)];
  CHECK(std::all_of(covered.begin(), covered.end(), [](int times) { return times == 1; }));
  // Nothing in a branch leads to another branch.
  for (const SupernodalFactor::Branch& branch : factor.branches) {
    const std::int64_t end = factor.first_column[static_cast<std::size_t>(branch.last)];
    bool leads_astray = false;
    for (std::int64_t k = factor.row_start[static_cast<std::size_t>(branch.first)];
         k < factor.row_start[static_cast<std::size_t>(branch.last)]; ++k) {
      const std::int32_t row = factor.row[static_cast<std::size_t>(k)];
      leads_astray |= row >= end && factor.trunk_place[static_cast<std::size_t>(row)] < 0;
    }
    CHECK_FALSE(leads_astray);
  }
}

TEST_CASE("a small factor has no branches", "[linear]") {
  const Factored factored(2);
  CHECK(factored.factor.branches.empty());
  CHECK(factored.factor.trunk.size() + 1 == factored.factor.first_column.size());
}

TEST_CASE("the factor in single precision solves as the one in double, on any threads",
          "[verification][linear]") {
  Factored factored(GENERATE(2, 8));
  Eigen::VectorXd exact;
  factored.cholesky.solve(factored.system.load, exact);
  const int before = omp_get_max_threads();
  std::array<Eigen::VectorXf, 2> found;
  for (const int threads : {1, 2}) {
    omp_set_num_threads(threads);
    factored.factor.solve(factored.system.load.cast<float>(), found[static_cast<std::size_t>(threads - 1)]);
  }
  omp_set_num_threads(before);
  CHECK((found[0].cast<double>() - exact).norm() <= 1e-3 * exact.norm());  // condition about 1e4, in float
  CHECK(found[0] == found[1]);
}

}  // namespace setstress
