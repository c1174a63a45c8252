// Lanes by themselves: colors, systems in files, and what solves them. Made-up matrices; the answer is that
// of a dense factor. No outside source is needed.

#include <Eigen/Cholesky>
#include <Eigen/LU>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <random>
#include <set>

#include "solver/lanes/coloring.hpp"
#include "solver/lanes/gpu/gpu_lane_solver.hpp"
#include "solver/lanes/lane_system.hpp"
#include "tests/scratch_folder.hpp"

namespace setstress {
namespace {

constexpr int nodes = 60, lanes = 8, held = 5;  // held: a node that takes no part

/// Rows in the order of `node_at`, of nodes that sit on a ring and couple with those up to three places away.
Eigen::MatrixXd ring_matrix() {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> any(-1, 1);
  Eigen::MatrixXd matrix = Eigen::MatrixXd::Zero(3 * nodes, 3 * nodes);
  for (int a = 0; a < nodes; ++a)
    for (int step = 1; step <= 3; ++step) {
      const int b = (a + step) % nodes;
      if (a == held || b == held) continue;
      const Eigen::Matrix3d half = Eigen::Matrix3d::NullaryExpr([&] { return any(random); });
      const Eigen::Matrix3d spring = half * half.transpose();
      matrix.block<3, 3>(3 * a, 3 * a) += spring;
      matrix.block<3, 3>(3 * b, 3 * b) += spring;
      matrix.block<3, 3>(3 * a, 3 * b) -= spring;
      matrix.block<3, 3>(3 * b, 3 * a) -= spring;
    }
  matrix.diagonal().array() += 0.05;
  return matrix;
}

bool couple(const Eigen::MatrixXd& matrix, int a, int b) {
  return !matrix.block<3, 3>(3 * a, 3 * b).isZero();
}

LaneRows rows_of(const Eigen::MatrixXd& matrix, const std::vector<int>& node_at, bool with_own) {
  LaneRows rows;
  rows.start.push_back(0);
  for (int row = 0; row < nodes; ++row) {
    rows.later.push_back(rows.start.back());
    for (int other = 0; other < nodes; ++other) {
      if (other == row ? !with_own
                       : !couple(matrix, node_at[static_cast<std::size_t>(row)],
                                 node_at[static_cast<std::size_t>(other)]))
        continue;
      rows.column.push_back(other);
      if (!with_own && other < row) ++rows.later.back();
    }
    rows.start.push_back(static_cast<std::int32_t>(rows.column.size()));
  }
  return rows;
}

void append(std::vector<float>& to, const Eigen::Matrix3d& block) {
  for (int i = 0; i < 9; ++i) to.push_back(static_cast<float>(block(i / 3, i % 3)));
}

std::vector<int> in_order() {
  std::vector<int> node_at(nodes);
  for (int i = 0; i < nodes; ++i) node_at[static_cast<std::size_t>(i)] = i;
  return node_at;
}

/// By color.
std::vector<int> by_color(std::vector<std::int32_t>& run_start) {
  const LaneRows rows = rows_of(ring_matrix(), in_order(), false);
  Coloring coloring = color_rows(rows.start, rows.column);
  run_start = coloring.run_start;
  return {coloring.order.begin(), coloring.order.end()};
}

/// All of the matrix is shared; the coarse level is every third node.
LaneSystem ring(const std::vector<int>& node_at, const std::vector<std::int32_t>& run_start) {
  const Eigen::MatrixXd matrix = ring_matrix();
  LaneSystem system;
  LaneMesh& mesh = system.mesh;
  mesh.nodes = nodes;
  mesh.run_start = run_start;
  mesh.rows = rows_of(matrix, node_at, false);
  mesh.tissue = rows_of(matrix, node_at, true);
  const auto block = [&](int row, std::int32_t column) {
    return matrix.block<3, 3>(3 * node_at[static_cast<std::size_t>(row)],
                              3 * node_at[static_cast<std::size_t>(column)]);
  };
  mesh.corners.child_start.push_back(0);
  mesh.corners.parent_start.push_back(0);
  for (int row = 0; row < nodes; ++row) {
    const auto r = static_cast<std::size_t>(row);
    for (auto k = static_cast<std::size_t>(mesh.rows.start[r]);
         k < static_cast<std::size_t>(mesh.rows.start[r + 1]); ++k)
      append(system.sweeps.value, block(row, mesh.rows.column[k]));
    append(system.sweeps.inverse, block(row, row).inverse());
    for (auto k = static_cast<std::size_t>(mesh.tissue.start[r]);
         k < static_cast<std::size_t>(mesh.tissue.start[r + 1]); ++k)
      append(system.equations.tissue_value, block(row, mesh.tissue.column[k]));
    for (int i = 0; i < 3; ++i) system.equations.free.push_back(node_at[r] == held ? 0.0f : 1.0f);
    if (row % 3 == 0) {
      mesh.corners.parent.push_back(static_cast<std::int32_t>(mesh.corners.node.size()));
      mesh.corners.parent_weight.push_back(1);
      mesh.corners.node.push_back(row);
      mesh.corners.child.push_back(row);
      mesh.corners.weight.push_back(1);
      mesh.corners.child_start.push_back(static_cast<std::int32_t>(mesh.corners.child.size()));
    }
    mesh.corners.parent_start.push_back(static_cast<std::int32_t>(mesh.corners.parent.size()));
  }
  const auto corners = static_cast<int>(mesh.corners.node.size()), unknowns = 3 * corners;
  Eigen::MatrixXd coarse(unknowns, unknowns);
  for (int a = 0; a < corners; ++a)
    for (int b = 0; b < corners; ++b)
      coarse.block<3, 3>(3 * a, 3 * b) = block(mesh.corners.node[static_cast<std::size_t>(a)],
                                               mesh.corners.node[static_cast<std::size_t>(b)]);
  const Eigen::MatrixXf factor = coarse.llt().matrixL().toDenseMatrix().cast<float>();
  system.factor = {{0, unknowns},
                   {0, unknowns},
                   {0, factor.size()},
                   {},
                   {},
                   std::vector<float>(coarse.rows(), 1.0f),
                   {factor.data(), factor.data() + factor.size()}};
  for (int i = 0; i < unknowns; ++i) {
    system.factor.row.push_back(i);
    system.factor.unknown.push_back(i);
  }
  std::mt19937 random(11);
  std::uniform_real_distribution<double> any(-1, 1);
  for (int lane = 0; lane < lanes; ++lane) {
    std::vector<double> load(3 * nodes);
    for (double& number : load) number = any(random);
    system.moduli.emplace_back();
    system.bond.emplace_back();
    std::vector<double>& right = system.right.emplace_back();
    for (int row = 0; row < nodes; ++row)
      for (int i = 0; i < 3; ++i) {
        const int node = node_at[static_cast<std::size_t>(row)];
        right.push_back(node == held ? 0 : load[static_cast<std::size_t>(3 * node + i)]);
      }
  }
  return system;
}

/// By lane, 3 numbers a node in the order of nodes.
std::vector<std::vector<double>> solved(const LaneSystem& system, LaneSolver& solver,
                                        const std::vector<int>& node_at) {
  solver.set_equations(system.equations);
  solver.set_sweeps(system.sweeps);
  solver.set_factor(system.factor);
  solver.set_values(std::vector<std::span<const float>>(system.moduli.begin(), system.moduli.end()),
                    std::vector<std::span<const float>>(system.bond.begin(), system.bond.end()));
  std::vector<std::vector<double>> x(lanes, std::vector<double>(3 * nodes)), by_node = x;
  const std::vector<std::span<const double>> right(system.right.begin(), system.right.end());
  const std::vector<std::span<double>> found(x.begin(), x.end());
  for (const LaneOutcome& one : solver.solve(right, std::vector<double>(lanes, 1e-5), 200, found))
    CHECK(one.converged);
  for (std::size_t lane = 0; lane < lanes; ++lane)
    for (std::size_t row = 0; row < nodes; ++row)
      for (std::size_t i = 0; i < 3; ++i)
        by_node[lane][3 * static_cast<std::size_t>(node_at[row]) + i] = x[lane][3 * row + i];
  return by_node;
}

std::vector<std::vector<double>> solved_on_processor(const LaneSystem& system,
                                                     const std::vector<int>& node_at) {
  return solved(system, *make_lane_solver(std::make_shared<const LaneMesh>(system.mesh), lanes), node_at);
}

void check_is_solution(const LaneSystem& system, const std::vector<std::vector<double>>& x,
                       const std::vector<int>& node_at) {
  const Eigen::MatrixXd matrix = ring_matrix();
  for (std::size_t lane = 0; lane < lanes; ++lane) {
    Eigen::VectorXd right(3 * nodes);
    for (int row = 0; row < nodes; ++row)
      for (int i = 0; i < 3; ++i)
        right(3 * node_at[static_cast<std::size_t>(row)] + i) =
            system.right[lane][static_cast<std::size_t>(3 * row + i)];
    const Eigen::VectorXd wanted = matrix.llt().solve(right);
    const Eigen::VectorXd found = Eigen::Map<const Eigen::VectorXd>(x[lane].data(), 3 * nodes);
    CHECK((found - wanted).norm() < 1e-3 * wanted.norm());
  }
}

}  // namespace

TEST_CASE("rows of one color are not coupled, and every row has one", "[lanes]") {
  const LaneRows rows = rows_of(ring_matrix(), in_order(), false);
  const Coloring coloring = color_rows(rows.start, rows.column);
  CHECK(std::set(coloring.order.begin(), coloring.order.end()).size() == nodes);
  CHECK(coloring.run_start.size() - 1 <= 7);  // most couplings and one
  std::vector<std::int32_t> run_start;
  const std::vector<int> node_at = by_color(run_start);
  LaneMesh mesh = ring(node_at, run_start).mesh;
  CHECK_NOTHROW(require_uncoupled_runs(mesh));
  mesh.run_start = {0, nodes};
  CHECK_THROWS_WITH(require_uncoupled_runs(mesh), Catch::Contains("coupled"));
}

TEST_CASE("elements of one color share no node", "[lanes]") {
  std::vector<std::array<std::int32_t, 10>> elements;
  for (std::int32_t i = 0; i < 30; ++i) {
    auto& nodes_of = elements.emplace_back();
    for (std::int32_t a = 0; a < 10; ++a) nodes_of[static_cast<std::size_t>(a)] = 4 * i + a;
  }
  const std::vector<std::int32_t> used{0, 1, 2, 5, 6, 7, 20, 21, 29};
  const Coloring coloring = color_groups(used, elements);
  CHECK(std::set(coloring.order.begin(), coloring.order.end()) == std::set(used.begin(), used.end()));
  for (std::size_t run = 0; run + 1 < coloring.run_start.size(); ++run) {
    std::multiset<std::int32_t> touched;
    for (auto k = coloring.run_start[run]; k < coloring.run_start[run + 1]; ++k) {
      const auto& own = elements[static_cast<std::size_t>(coloring.order[static_cast<std::size_t>(k)])];
      touched.insert(own.begin(), own.end());
    }
    CHECK(std::set(touched.begin(), touched.end()).size() == touched.size());
  }
  CHECK(color_groups({}, elements).run_start == std::vector<std::int32_t>{0});
}

TEST_CASE("lanes find the solution in the order of nodes and by color", "[lanes]") {
  const LaneSystem one_by_one = ring(in_order(), {0, nodes});
  check_is_solution(one_by_one, solved_on_processor(one_by_one, in_order()), in_order());
  std::vector<std::int32_t> run_start;
  const std::vector<int> node_at = by_color(run_start);
  const LaneSystem colored = ring(node_at, run_start);
  check_is_solution(colored, solved_on_processor(colored, node_at), node_at);
}

TEST_CASE("a system comes out of a file as it went in, and what is wrong with a file is told", "[lanes]") {
  const ScratchFolder folder;
  const auto file = folder.path() / "ring.lanes";
  const LaneSystem system = ring(in_order(), {0, nodes});
  write(system, file);
  CHECK(solved_on_processor(read_lane_system(file), in_order()) == solved_on_processor(system, in_order()));

  const auto whole = std::filesystem::file_size(file);
  const auto copy = folder.path() / "wrong.lanes";
  for (const double share : {0.0, 0.0001, 0.01, 0.3, 0.9, 0.99999}) {
    std::filesystem::copy_file(file, copy, std::filesystem::copy_options::overwrite_existing);
    std::filesystem::resize_file(copy, static_cast<std::uintmax_t>(share * static_cast<double>(whole)));
    CHECK_THROWS_WITH(read_lane_system(copy), Catch::Contains("wrong.lanes"));
  }
  std::filesystem::copy_file(file, copy, std::filesystem::copy_options::overwrite_existing);
  std::ofstream(copy, std::ios::app) << "more";
  CHECK_THROWS_WITH(read_lane_system(copy), Catch::Contains("after its end"));
  std::ofstream(copy) << std::string(200, 'x');
  CHECK_THROWS_WITH(read_lane_system(copy), Catch::Contains("no lane system"));
  CHECK_THROWS_WITH(read_lane_system(folder.path() / "none"), Catch::Contains("cannot be read"));

  LaneSystem wrong = system;
  wrong.mesh.rows.column[3] = nodes;  // one too far
  write(wrong, copy);
  CHECK_THROWS_WITH(read_lane_system(copy), Catch::Contains("rows do not fit"));
  wrong = system;
  wrong.factor.row.back() = -1;
  write(wrong, copy);
  CHECK_THROWS_WITH(read_lane_system(copy), Catch::Contains("factor"));
  wrong = system;
  wrong.right.front().pop_back();
  write(wrong, copy);
  CHECK_THROWS_WITH(read_lane_system(copy), Catch::Contains("a lane's numbers"));
}

TEST_CASE("a GPU finds the same, or there is a sentence on why not", "[lanes]") {
  std::vector<std::int32_t> run_start;
  const std::vector<int> node_at = by_color(run_start);
  const LaneSystem system = ring(node_at, run_start);
  const auto mesh = std::make_shared<const LaneMesh>(system.mesh);
  if (!why_no_gpu().empty()) {
    CHECK_THROWS_WITH(make_gpu_lane_solver(mesh, 32), Catch::Contains(why_no_gpu()));
    CHECK_THROWS_WITH(gpu_copy_rate(), Catch::Contains(why_no_gpu()));
    return;
  }
  CHECK_THROWS_WITH(make_gpu_lane_solver(mesh, 8), Catch::Contains("multiple of 32"));
  check_is_solution(system, solved(system, *make_gpu_lane_solver(mesh, 32), node_at), node_at);
}

}  // namespace setstress
