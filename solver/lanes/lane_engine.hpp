#pragma once
// Conjugate gradients in lanes, for any machine that can run the kernels.
//
// A Machine has: Array<T>, memory of its own, with resize(), fill(), data() and copy() of what is given;
// lanes(); each(count, kernel), which calls kernel(i, at) for every i < count and all lanes, in any order;
// in_order(runs, kernel) and in_reverse(), where what is in one run may be done at once and runs one after
// the other; arranged(), which puts groups of nodes into runs that may; take() and give(), numbers of single
// lanes; summed(), what chunks came to; repeat(recording, work), which does work() or what it recorded of it
// until recording.forget(); set_factor(), solve_corners(b, x) and factor_entries().

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "solver/lanes/element_kernels.hpp"
#include "solver/lanes/lane_solver.hpp"
#include "solver/lanes/row_kernels.hpp"
#include "solver/lanes/vector_kernels.hpp"

namespace setstress {

/// What products in single precision can be trusted with, of the length that a solve starts from.
inline constexpr double least_lane_tolerance = 1e-5;

template <typename Machine>
class LaneEngine final : public LaneSolver {
 public:
  LaneEngine(std::shared_ptr<const LaneMesh> mesh, Machine machine)
      : mesh_(std::move(mesh)),
        machine_(std::move(machine)),
        count_(3 * static_cast<std::size_t>(mesh_->nodes)) {
    upload(mesh_->rows, rows_);
    upload(mesh_->tissue, tissue_);
    runs_ = mesh_->run_start;
    corner_.copy(mesh_->corners.node);
    child_start_.copy(mesh_->corners.child_start);
    child_.copy(mesh_->corners.child);
    weight_.copy(mesh_->corners.weight);
    parent_start_.copy(mesh_->corners.parent_start);
    parent_.copy(mesh_->corners.parent);
    parent_weight_.copy(mesh_->corners.parent_weight);
    element_.copy(flat(mesh_->element));
    element_shape_.copy(flat(mesh_->element_shape));
    facet_.copy(flat(mesh_->facet));
    facet_shape_.copy(flat(mesh_->facet_shape));
    facet_mass_.copy(std::vector<float>(mesh_->facet_mass.begin(), mesh_->facet_mass.end()));
    for (auto* vector : {&x_, &r_, &z_, &p_, &product_}) vector->resize(count_ * width());
    for (auto* vector : {&coarse_b_, &coarse_x_}) vector->resize(3 * mesh_->corners.node.size() * width());
    shares_of_rows_.resize(nodes() * width());
    sums_.resize(static_cast<std::size_t>(chunks()) * width());
    shares_.resize(width());
    for (std::size_t lane = 0; lane < width(); ++lane) all_lanes_.push_back(lane);
    modulus_.resize(numbers_of_element * mesh_->element.size() * width());
    bond_.resize(2 * mesh_->facet.size() * width());
  }

  void set_equations(LaneEquations equations) override {
    tissue_.value.copy(equations.tissue_value);
    free_.copy(equations.free);
    element_runs_ = arrange(std::move(equations.elements), mesh_->element, elements_);
    facet_runs_ = arrange(std::move(equations.facets), mesh_->facet, facets_);
    product_of_p_.forget();
    preconditioning_.forget();
  }

  void set_sweeps(const LaneSweeps& sweeps) override {
    rows_.value.copy(sweeps.value);
    rows_.inverse.copy(sweeps.inverse);
    preconditioning_.forget();
  }

  void set_factor(const LaneFactor& factor) override {
    machine_.set_factor(factor);
    preconditioning_.forget();
  }

  void set_values(std::span<const std::span<const float>> moduli,
                  std::span<const std::span<const float>> bond) override {
    take_values(moduli, numbers_of_element * mesh_->element.size(), modulus_);
    take_values(bond, 2 * mesh_->facet.size(), bond_);
  }

  std::vector<LaneOutcome> solve(std::span<const std::span<const double>> b,
                                 std::span<const double> tolerance, int most_iterations,
                                 std::span<const std::span<double>> x) override;

  /// The preconditioner's rows are read twice, its factor too; vectors are read or written 25 times.
  [[nodiscard]] double bytes_per_iteration() const override {
    const double coupling = 9 * sizeof(float) + sizeof(std::int32_t);
    const double shared =
        coupling * static_cast<double>(2 * mesh_->rows.column.size() + mesh_->tissue.column.size()) +
        2.0 * sizeof(float) * static_cast<double>(machine_.factor_entries());
    const double own = 25.0 * static_cast<double>(count_) +
                       static_cast<double>(numbers_of_element) * element_runs_.back() +
                       2.0 * facet_runs_.back();
    return shared + sizeof(float) * static_cast<double>(machine_.lanes()) * own;
  }

 private:
  template <typename T>
  using Array = typename Machine::template Array<T>;
  struct Rows {
    Array<std::int32_t> start, later, column;
    Array<float> value, inverse;
    [[nodiscard]] RowsView view() const {
      return {start.data(), later.data(), column.data(), value.data(), inverse.data()};
    }
  };

  template <typename T, std::size_t n>
  static std::vector<T> flat(const std::vector<std::array<T, n>>& values) {
    std::vector<T> all;
    all.reserve(n * values.size());
    for (const auto& one : values) all.insert(all.end(), one.begin(), one.end());
    return all;
  }
  static void upload(const LaneRows& from, Rows& to) {
    to.start.copy(from.start);
    to.later.copy(from.later);
    to.column.copy(from.column);
  }
  [[nodiscard]] std::size_t width() const { return static_cast<std::size_t>(machine_.lanes()); }
  [[nodiscard]] std::size_t nodes() const { return static_cast<std::size_t>(mesh_->nodes); }
  static int chunks_of(std::size_t count) {
    return static_cast<int>((count + numbers_per_chunk - 1) / numbers_per_chunk);
  }
  [[nodiscard]] int chunks() const { return chunks_of(count_); }
  [[nodiscard]] int row_chunks() const { return chunks_of(nodes()); }

  /// Uploads which groups are used and says in what runs.
  template <typename Groups>
  std::vector<std::int32_t> arrange(std::vector<std::int32_t> used, const Groups& groups,
                                    Array<std::int32_t>& to) {
    std::vector<std::int32_t> runs = machine_.arranged(used, groups);
    to.copy(used);
    return runs;
  }
  /// Lanes that bring nothing keep what is there.
  void take_values(std::span<const std::span<const float>> by_lane, std::size_t count, Array<float>& to) {
    std::vector<std::size_t> bring;
    for (std::size_t lane = 0; lane < by_lane.size(); ++lane)
      if (!by_lane[lane].empty()) bring.push_back(lane);
    machine_.take(to, count, bring, [&](std::size_t lane, std::size_t i) { return by_lane[lane][i]; });
  }

  /// How far a lane's conjugate gradients are.
  struct LaneState {
    LaneOutcome outcome;
    double length = 0;   ///< |b|; vectors are divided by it, to keep clear of the limits of single precision
    double shorter = 0;  ///< 1 / length
    double goal = 0;     ///< of |r| [-]
    double rz = 0;       ///< r . M^-1 r
    bool going = false;
  };

  void begin(std::span<const std::span<const double>> b, std::span<const double> tolerance);
  void turn();
  void advance();
  void precondition();
  void apply();
  void set_shares(const std::vector<double>& values) {
    machine_.take(shares_, 1, all_lanes_,
                  [&](std::size_t lane, std::size_t) { return static_cast<float>(values[lane]); });
  }

  std::shared_ptr<const LaneMesh> mesh_;
  Machine machine_;
  std::size_t count_;  ///< numbers of a lane's vector
  typename Machine::Recording preconditioning_, product_of_p_;
  std::vector<LaneState> lanes_;
  std::vector<std::size_t> all_lanes_;
  std::vector<std::int32_t> runs_, element_runs_{0}, facet_runs_{0};
  Rows rows_, tissue_;
  Array<std::int32_t> corner_, child_start_, child_, parent_start_, parent_, element_, facet_, elements_,
      facets_;
  Array<float> weight_, parent_weight_, element_shape_, facet_shape_, facet_mass_, free_;
  Array<float> x_, r_, z_, p_, product_, coarse_b_, coarse_x_, shares_of_rows_, sums_, shares_, modulus_,
      bond_;
};

/// z := M^-1 r: half-sweeps forwards, coarse correction, half-sweeps backwards. What forward sweeps leave is
/// put where products go.
template <typename Machine>
void LaneEngine<Machine>::precondition() {
  const RowsView rows = rows_.view();
  machine_.in_order(runs_, ForwardSweep{rows, r_.data(), z_.data()});
  machine_.each(mesh_->nodes, LeftByForward{rows, z_.data(), product_.data()});
  machine_.each(static_cast<int>(mesh_->corners.node.size()),
                Transfer{child_start_.data(), child_.data(), weight_.data(), free_.data(), corner_.data(),
                         product_.data(), coarse_b_.data()});
  machine_.solve_corners(coarse_b_, coarse_x_);
  machine_.each(mesh_->nodes, Transfer{parent_start_.data(), parent_.data(), parent_weight_.data(),
                                       free_.data(), nullptr, coarse_x_.data(), z_.data()});
  machine_.in_reverse(runs_, BackwardSweep{rows, r_.data(), z_.data(), shares_of_rows_.data()});
}

/// product := - A p, also where nothing is free; sums: p . A p.
template <typename Machine>
void LaneEngine<Machine>::apply() {
  machine_.each(mesh_->nodes, SharedProduct{tissue_.view(), p_.data(), product_.data()});
  machine_.in_order(element_runs_, FillingProduct{elements_.data(), element_.data(), element_shape_.data(),
                                                  modulus_.data(), p_.data(), product_.data()});
  machine_.in_order(facet_runs_, BondProduct{facets_.data(), facet_.data(), facet_shape_.data(),
                                             facet_mass_.data(), bond_.data(), p_.data(), product_.data()});
  machine_.each(chunks(), Curvature{count_, p_.data(), product_.data(), sums_.data()});
}

template <typename Machine>
void LaneEngine<Machine>::begin(std::span<const std::span<const double>> b,
                                std::span<const double> tolerance) {
  lanes_.assign(width(), {});
  for (std::size_t lane = 0; lane < b.size(); ++lane) {
    LaneState& state = lanes_[lane];
    double square = 0;
    for (const double number : b[lane]) square += number * number;
    state.length = std::sqrt(square);
    state.going = state.length > 0 && std::isfinite(state.length);
    state.shorter = 1 / state.length;
    state.outcome.converged = state.length == 0;
    state.goal = std::max(tolerance[lane], least_lane_tolerance);
  }
  machine_.take(r_, count_, all_lanes_, [&](std::size_t lane, std::size_t i) {
    return lanes_[lane].going ? static_cast<float>(b[lane][i] * lanes_[lane].shorter) : 0.0f;
  });
  x_.fill(0);
  p_.fill(0);
}

/// z := M^-1 r, and p turned by it.
template <typename Machine>
void LaneEngine<Machine>::turn() {
  machine_.repeat(preconditioning_, [&] { precondition(); });
  machine_.each(row_chunks(), Sum{nodes(), shares_of_rows_.data(), sums_.data()});
  const std::vector<double> now = machine_.summed(sums_, row_chunks());
  std::vector<double> kept(width(), 0.0);
  for (std::size_t lane = 0; lane < width(); ++lane) {
    LaneState& state = lanes_[lane];
    state.going = state.going && now[lane] > 0;
    if (state.going && state.rz > 0) kept[lane] = now[lane] / state.rz;
    state.rz = now[lane];
  }
  set_shares(kept);
  machine_.each(chunks(), Turn{count_, z_.data(), shares_.data(), p_.data()});
}

/// As far along p as lowers the energy most.
template <typename Machine>
void LaneEngine<Machine>::advance() {
  machine_.repeat(product_of_p_, [&] { apply(); });
  const std::vector<double> curvature = machine_.summed(sums_, chunks());
  std::vector<double> far(width(), 0.0);
  for (std::size_t lane = 0; lane < width(); ++lane) {
    LaneState& state = lanes_[lane];
    state.going = state.going && curvature[lane] > 0;
    if (state.going) far[lane] = state.rz / curvature[lane];
  }
  set_shares(far);
  machine_.each(chunks(), Advance{count_, shares_.data(), free_.data(), p_.data(), product_.data(), x_.data(),
                                  r_.data(), sums_.data()});
  const std::vector<double> left = machine_.summed(sums_, chunks());
  for (std::size_t lane = 0; lane < width(); ++lane) {
    LaneState& state = lanes_[lane];
    if (!state.going) continue;
    ++state.outcome.iterations;
    state.outcome.converged = left[lane] <= state.goal * state.goal;
    state.going = !state.outcome.converged && std::isfinite(left[lane]);
  }
}

template <typename Machine>
std::vector<LaneOutcome> LaneEngine<Machine>::solve(std::span<const std::span<const double>> b,
                                                    std::span<const double> tolerance, int most_iterations,
                                                    std::span<const std::span<double>> x) {
  begin(b, tolerance);
  const auto goes_on = [](const LaneState& state) { return state.going; };
  for (int i = 0; i < most_iterations && std::any_of(lanes_.begin(), lanes_.end(), goes_on); ++i) {
    turn();
    advance();
  }
  std::vector<std::size_t> asking;
  for (std::size_t lane = 0; lane < b.size(); ++lane)
    if (!b[lane].empty()) asking.push_back(lane);
  machine_.give(x_, count_, asking, [&](std::size_t lane, std::size_t i, float found) {
    x[lane][i] = lanes_[lane].length * static_cast<double>(found);
  });
  std::vector<LaneOutcome> outcomes;
  for (const LaneState& state : lanes_) outcomes.push_back(state.outcome);
  return outcomes;
}

}  // namespace setstress
