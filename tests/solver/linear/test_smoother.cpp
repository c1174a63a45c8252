// The sweeps of the two-level solver: what they say they leave, and the order of their parts on any threads.

#include <omp.h>

#include <atomic>
#include <catch2/catch.hpp>
#include <cmath>

#include "solver/linear/sweep/smoother.hpp"
#include "tests/solver/elastic_box.hpp"

namespace setstress {
namespace {

/// A box in many small parts, and something to balance.
struct Swept {
  testing::BoxSystem system;
  BlockMatrix matrix;
  SweepOrder order;
  SweepPattern pattern;
  Smoother smoother;
  Eigen::VectorXf r, z, residual;

  Swept()
      : system({.lower = 20e3, .upper = 1000, .spring = 1e5}),
        matrix(system.matrix()),
        order(make_sweep_order(system.graph, 50)),
        pattern(system.graph, order),
        smoother(pattern, order),
        r(stride * order.nodes()) {
    smoother.assign(matrix);
    for (int place = 0; place < order.nodes(); ++place)
      r.segment<stride>(stride * place) =
          Eigen::Vector4d(std::sin(place), std::cos(3.0 * place), std::sin(5.0 * place), 0).cast<float>();
  }
  Swept(const Swept&) = delete;  // parts point to each other
  Swept& operator=(const Swept&) = delete;
  /// |residual - (r - A z)| over |A z|, in double precision.
  [[nodiscard]] double error() const {
    Eigen::VectorXd product;
    multiply(matrix, order.by_node(z.cast<double>()), product);
    const Eigen::VectorXd truth = order.by_node(r.cast<double>()) - product;
    return (order.by_node(residual.cast<double>()) - truth).norm() / product.norm();
  }
};

}  // namespace

TEST_CASE("sweeps leave the residual that they say they leave", "[linear]") {
  Swept swept;
  REQUIRE(swept.order.parts() > 8);
  swept.smoother.forward(swept.r, swept.z, swept.residual);
  CHECK(swept.z.norm() > 0);
  CHECK(swept.error() < 1e-5);  // single precision
  swept.z *= 1.5f;
  swept.smoother.backward(swept.r, swept.z, swept.residual);
  CHECK(swept.error() < 1e-5);
}

TEST_CASE("sweeps give the same bits on any number of threads", "[determinism][linear]") {
  std::vector<Swept> swept(3);
  for (std::size_t i = 0; i < swept.size(); ++i) {
    omp_set_num_threads(static_cast<int>(i) + 1);
    swept[i].smoother.forward(swept[i].r, swept[i].z, swept[i].residual);
    swept[i].smoother.backward(swept[i].r, swept[i].z, swept[i].residual);
  }
  omp_set_num_threads(omp_get_num_procs());
  for (const std::size_t i : {1, 2}) CHECK((swept[i].z.array() == swept[0].z.array()).all());
}

TEST_CASE("parts come in turn: none before its earlier neighbours, whatever the threads", "[linear]") {
  const Swept swept;
  const SweepOrder& order = swept.order;
  const bool reverse = GENERATE(false, true);
  std::vector<std::atomic<bool>> done(static_cast<std::size_t>(order.parts()));
  std::atomic<int> early = 0, pairs = 0;
  omp_set_num_threads(4);
  order.in_turn(reverse, [&](int part, int) {
    for (const int other : order.neighbours[static_cast<std::size_t>(part)]) {
      if (reverse ? other < part : other > part) continue;
      ++pairs;
      early += !done[static_cast<std::size_t>(other)];
    }
    done[static_cast<std::size_t>(part)] = true;
  });
  omp_set_num_threads(omp_get_num_procs());
  CHECK(early == 0);
  CHECK(pairs > order.parts());
}

}  // namespace setstress
