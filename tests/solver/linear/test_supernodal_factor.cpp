// The factor found front by front in single precision and kept in two bytes an entry, its branches worked on
// side by side, against CHOLMOD's in double precision.

#include <omp.h>

#include <Eigen/Cholesky>
#include <Eigen/SparseCore>
#include <catch2/catch.hpp>

#include "solver/linear/coarse/coarse_level.hpp"
#include "solver/linear/factor/block_cholesky.hpp"
#include "solver/linear/factor/multifrontal.hpp"
#include "solver/linear/solve/linear_solver.hpp"
#include "tests/solver/elastic_box.hpp"

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
  SupernodalFactor rounded;
  factored.cholesky.copy_to(factored.pattern, rounded);
  double worst = 0;
  for (std::int64_t s = 0; s < factored.pattern->supernodes(); ++s) {
    const Eigen::MatrixXf found = factored.factor.panel(s), expected = rounded.panel(s);
    worst =
        std::max<double>(worst, (found - expected).cwiseAbs().maxCoeff() / expected.cwiseAbs().maxCoeff());
  }
  CAPTURE(worst);
  // Pivots keep a hundredth and more of what the matrix had there; then numbers that are nearly the same may
  // be rounded to two sides.
  CHECK(worst <= 1e-4 + 1.0 / 32767);
}

TEST_CASE("what is kept of a factor is right to half a unit of its column", "[verification][linear]") {
  Factored factored(box_of(3));
  factored.cholesky.factorise(factored.system.values);
  SupernodalFactor rounded;
  factored.cholesky.copy_to(factored.pattern, rounded);
  const SupernodalPattern& pattern = *factored.pattern;
  // The scaled matrix in its order, and its factor by Eigen.
  const auto unknowns = static_cast<Eigen::Index>(pattern.permutation.size());
  Eigen::MatrixXd dense = Eigen::MatrixXd::Zero(unknowns, unknowns);
  for (int node = 0; node < factored.system.nodes(); ++node)
    for (std::size_t k = factored.system.graph.row_start[static_cast<std::size_t>(node)];
         k < factored.system.graph.row_start[static_cast<std::size_t>(node) + 1]; ++k)
      dense.block<3, 3>(3 * node, 3 * factored.system.graph.column[k]) = factored.system.values[k];
  const Eigen::Map<const Eigen::VectorX<std::int32_t>> order(pattern.permutation.data(), unknowns);
  dense = Eigen::MatrixXd(dense(order, order));
  const Eigen::VectorXd scale = dense.diagonal().cwiseSqrt().cwiseInverse();
  const Eigen::MatrixXd lower = (scale.asDiagonal() * dense * scale.asDiagonal()).llt().matrixL();
  double worst = 0;
  for (std::int64_t s = 0; s < pattern.supernodes(); ++s) {
    const Eigen::MatrixXd kept = rounded.panel(s).cast<double>();
    const std::int32_t* row = pattern.row.data() + pattern.row_start[static_cast<std::size_t>(s)];
    for (Eigen::Index j = 0; j < kept.cols(); ++j) {
      const Eigen::Index column = pattern.first_column[static_cast<std::size_t>(s)] + j;
      const auto below = lower.col(column).tail(unknowns - column - 1);
      const double unit = std::max(1e-4 * lower(column, column), below.lpNorm<Eigen::Infinity>()) / 32767;
      for (Eigen::Index i = j + 1; i < kept.rows(); ++i)
        worst = std::max(worst, std::abs(kept(i, j) - lower(row[i], column)) / unit);
      CHECK(std::abs(kept(j, j) - lower(column, column)) <= 1e-6 * lower(column, column));  // kept as it is
    }
  }
  CHECK(worst > 0.4);
  CHECK(worst <= 0.51);
}

TEST_CASE("the rounded factor solves its own matrix as double precision does, on any threads",
          "[verification][linear]") {
  Factored factored(box_of(GENERATE(2, 8)));
  REQUIRE(factored.good);
  const auto unknowns = static_cast<Eigen::Index>(factored.pattern->permutation.size());
  const int before = omp_get_max_threads();
  std::array<Eigen::VectorXf, 2> found;
  std::array<SupernodalFactor, 2> factors;
  for (const int threads : {1, 4}) {
    const auto which = static_cast<std::size_t>(threads > 1);
    omp_set_num_threads(threads);
    REQUIRE(factored.multifrontal.factorise(factored.system.values, factors[which]));
    factors[which].solve(factored.system.load.cast<float>(), found[which]);
  }
  omp_set_num_threads(before);
  // L as it is kept, written out, and its two triangular solves by Eigen.
  std::vector<Eigen::Triplet<double>> entries;
  const SupernodalPattern& pattern = *factored.pattern;
  bool same = true;
  for (std::int64_t s = 0; s < pattern.supernodes(); ++s) {
    const Eigen::MatrixXf kept = factors[0].panel(s);
    same &= kept == factors[1].panel(s);
    const std::int32_t* row = pattern.row.data() + pattern.row_start[static_cast<std::size_t>(s)];
    for (Eigen::Index j = 0; j < kept.cols(); ++j)
      for (Eigen::Index i = j; i < kept.rows(); ++i)
        entries.emplace_back(row[i], pattern.first_column[static_cast<std::size_t>(s)] + j, kept(i, j));
  }
  CHECK(same);
  CHECK((found[0].array() == found[1].array()).all());
  Eigen::SparseMatrix<double> lower(unknowns, unknowns);
  lower.setFromTriplets(entries.begin(), entries.end());
  const Eigen::Map<const Eigen::VectorX<std::int32_t>> order(pattern.permutation.data(), unknowns);
  const Eigen::VectorXd scale = factors[0].scale().cast<double>();
  Eigen::VectorXd exact = scale.cwiseProduct(factored.system.load(order));
  lower.triangularView<Eigen::Lower>().solveInPlace(exact);
  lower.transpose().triangularView<Eigen::Upper>().solveInPlace(exact);
  exact = scale.cwiseProduct(exact);
  const Eigen::VectorXd by_factor = found[0](order).cast<double>();
  const double error = (by_factor - exact).norm() / exact.norm();
  CAPTURE(error);
  CHECK(error <= 1e-5);  // sums are in single precision
}

TEST_CASE("what rounding takes from the factor is little to a preconditioner", "[verification][linear]") {
  Factored factored(box_of(8));
  REQUIRE(factored.good);
  Eigen::VectorXd exact;
  factored.cholesky.factorise(factored.system.values);
  factored.cholesky.solve(factored.system.load, exact);
  Eigen::VectorXf found;
  factored.factor.solve(factored.system.load.cast<float>(), found);
  // In the energy, where conjugate gradients measure.
  const Eigen::VectorXd difference = found.cast<double>() - exact;
  Eigen::VectorXd image;
  multiply(factored.system.matrix(), difference, image);
  const double energy_error = difference.dot(image) / exact.dot(factored.system.load);
  CAPTURE(energy_error);
  CHECK(energy_error <= 1e-4);
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
