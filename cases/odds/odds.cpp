#include "cases/odds/odds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <nlohmann/json.hpp>
#include <set>
#include <thread>

#include "cases/odds/draw_runner.hpp"
#include "cases/odds/odds_database.hpp"
#include "cases/pose/pose.hpp"
#include "cases/reader/checksum.hpp"
#include "cases/result/mirror_walls.hpp"
#include "cases/run/interrupt.hpp"
#include "cases/run/progress.hpp"
#include "cases/study/design/case_sum.hpp"
#include "cases/study/design/mesh_key.hpp"
#include "cases/study/runs/lanes.hpp"
#include "cases/study/runs/run_pool.hpp"
#include "cases/words/bond_words.hpp"
#include "solver/run/shared_mesh.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

Plot plot_of(const Case& input, const Plot* other) {
  Plot plot{input, {}, nullptr};
  plot.input.solver.threads = 1;
  const bool same = other != nullptr && mesh_key(input) == mesh_key(other->input);
  plot.mesh = same ? other->mesh : mesh_of(input);
  if (plot.mesh.bond.empty())
    throw CaseError(fmt::format("{}: has no bond, so no wall has odds", input.name));
  plot.shared = std::make_shared<const SharedMesh>(pose(input, plot.mesh));
  if (input.solver.linear_solver == LinearSolver::two_level) (void)plot.shared->two_level();
  return plot;
}

ordered_json pairs_of(const Plot& a, const Plot& b) {
  ordered_json pairs = ordered_json::array();
  for (const Plot* plot : {&a, &b})
    for (const auto& pair : mirror_walls(plot->input))
      if (std::ranges::find(pairs, ordered_json(pair)) == pairs.end()) pairs.push_back(pair);
  return pairs;
}

/// Walls that both have, mirror walls told together, the whole bond last.
std::vector<WallNumbers> walls_of(const Plot& a, const Plot& b, const ordered_json& pairs) {
  std::vector<WallNumbers> walls;
  std::set<std::string> told;
  const auto has = [](const Plot& plot, const std::string& wall) {
    return std::ranges::find(plot.mesh.walls, wall) != plot.mesh.walls.end();
  };
  for (const std::string& wall : a.mesh.walls) {
    if (!has(b, wall) || told.contains(wall)) continue;
    told.insert(wall);
    WallNumbers entry{.wall = wall};
    for (const ordered_json& pair : pairs) {
      const std::string one = pair.at(0), other = pair.at(1);
      if ((wall != one && wall != other) || !has(a, one) || !has(a, other)) continue;
      entry = {.wall = one + " and " + other, .mirrored = true};
      told.insert({one, other});
    }
    walls.push_back(entry);
  }
  walls.push_back({.wall = "all"});
  return walls;
}

std::string coarse_of(const Plot& plot) {
  const WallReport report(plot.mesh, substrates_of(plot.mesh, plot.input.bands));
  return coarse_mesh_sentence(plot.input.mesh_size.bond, report.fewest_averaging_points());
}

/// Makes the draws that are missing, in processes of their own.
class DrawPool {
 public:
  /// `database` may be null.
  DrawPool(Odds& odds, const DrawRunner& runner, const OddsSettings& settings, OddsDatabase* database)
      : odds_(odds),
        runner_(runner),
        database_(database),
        quiet_(settings.quiet),
        pace_(settings.pace),
        cores_(settings.processes > 0 ? settings.processes
                                      : std::max(1, static_cast<int>(std::thread::hardware_concurrency()))),
        lanes_(odds.in_lanes ? settings.lanes.most : 0),
        progress_("odds", settings.quiet) {
    std::set<int> made;
    for (const OddsRow& row : odds.rows) made.insert(row.draw);
    for (int draw = odds.asked; draw >= 1; --draw)
      if (!made.contains(draw)) left_.push_back(draw);
    all_ = left_.size();
  }

  void run(const InterruptGuard& interrupt) {
    tell_before();
    tell_time();
    constexpr double patience = 0.2;  // [s] between two looks at what the user wants
    while (!interrupt.asked_to_stop() && (!left_.empty() || pool_.rows_in_hand() > 0)) {
      while (!left_.empty() && has_room()) start();
      if (const auto finished = pool_.wait(patience)) keep(*finished);
      progress_.show(
          all_ > 0 ? (static_cast<double>(ended_) + pool_.under_way()) / static_cast<double>(all_) : 1.0,
          fmt::format("{} of {} draws, {} side by side", odds_.rows.size(), odds_.asked, pool_.processes()));
    }
    std::ranges::sort(odds_.rows, {}, &OddsRow::draw);
  }

 private:
  void start() {
    if (lanes_ == 0 || alone_.contains(left_.back())) {
      const int draw = left_.back();
      left_.pop_back();
      pool_.start({draw}, [this](int one) { return runner_.run(one); });
      return;
    }
    const std::vector<int> draws = group();
    std::vector<RunRecord> records;
    std::size_t next = 0;
    pool_.start(
        draws,
        [&](int) {
          if (records.empty()) records = runner_.run_together(draws);
          return records.at(next++);
        },
        true);
  }

  /// Few at first, later as many as there are lanes, but so few that all cores have some.
  std::vector<int> group() {
    const std::size_t cores = static_cast<std::size_t>(cores_), share = (left_.size() + cores - 1) / cores;
    const std::size_t most = std::min(share, static_cast<std::size_t>(largest_mb_ == 0 ? 8 : lanes_));
    std::vector<int> draws;
    for (; !left_.empty() && draws.size() < most && !alone_.contains(left_.back()); left_.pop_back())
      draws.push_back(left_.back());
    return draws;
  }

  /// The first is alone, as nobody knows yet what memory it takes.
  [[nodiscard]] bool has_room() const {
    constexpr double in_reserve = 1.2;
    if (pool_.processes() == 0) return true;
    return largest_mb_ > 0 && static_cast<int>(pool_.processes()) < cores_ &&
           available_memory_mb() > in_reserve * largest_mb_;
  }

  void keep(const RunPool::Finished& finished) {
    const RunRecord& record = finished.record;
    if (record.status == RunStatus::planned) {  // its group died: nobody knows by which draw
      left_.push_back(finished.row);
      alone_.insert(finished.row);
      return;
    }
    odds_.rows.push_back({finished.row, record.status, record.message, record.outputs, record.seconds});
    if (database_ != nullptr) database_->record(odds_.rows.back());
    largest_mb_ = std::max(largest_mb_, record.memory_mb);
    ++ended_;
    tell_time();
  }

  /// What there is to do, as far as is known before a draw was made.
  void tell_before() const {
    if (quiet_) return;
    std::string text = fmt::format("setstress: odds: {} draws of {} uncertain inputs for both plans",
                                   odds_.asked, odds_.inputs.size());
    if (!odds_.rows.empty()) text += fmt::format(", {} of them there already", odds_.rows.size());
    if (all_ > 0) {
      const std::size_t each = runner_.solutions();
      text += fmt::format("; {} solutions to make", each * all_);
      if (pace_ > 0 && odds_.rows.empty()) {
        const double seconds = runner_.expected_seconds(each, pace_);
        text += fmt::format(
            ", about {} by the time that the plans just solved took; the first draw tells better",
            duration_text(std::max(1.0, static_cast<double>(all_) * seconds / side_by_side(all_))));
      }
    }
    fmt::print(stderr, "{}\n", text);
  }

  [[nodiscard]] double side_by_side(std::size_t draws) const {
    return std::min(static_cast<double>(cores_), static_cast<double>(draws));
  }

  /// Once, as soon as a draw says how long one takes.
  void tell_time() {
    double sum = 0;
    int timed = 0;
    for (const OddsRow& row : odds_.rows)
      if (row.status == RunStatus::done) sum += row.seconds, ++timed;
    const std::size_t left = all_ - ended_;
    if (quiet_ || time_told_ || timed == 0 || left == 0) return;
    time_told_ = true;
    fmt::print(stderr, "setstress: odds: {:.1f} s a draw, {} to make, {:.0f} side by side: about {}\n",
               sum / timed, left, side_by_side(left),
               duration_text(static_cast<double>(left) * sum / timed / side_by_side(left)));
  }

  Odds& odds_;
  const DrawRunner& runner_;
  OddsDatabase* database_;
  bool quiet_, time_told_ = false;
  double pace_;
  int cores_, lanes_;
  std::set<int> alone_;  ///< draws not to be made together
  ProgressLine progress_;
  std::vector<int> left_;  ///< the next one last
  std::size_t all_ = 0, ended_ = 0;
  double largest_mb_ = 0;
  RunPool pool_;
};

/// Says what the rows depend on.
std::string sum_of(const Odds& odds, const Case& first, const Case& second) {
  Checksum sum;
  sum.add(SETSTRESS_VERSION).add(case_sum(first)).add(case_sum(second)).add(odds.mode);
  if (odds.in_lanes)
    sum.add(odds.machine == LaneMachine::gpu ? "in lanes on a GPU" : "in lanes");  // other last digits
  sum.add(fmt::format("{} {} {}", odds.seed, first.mesh_size.bond, second.mesh_size.bond));
  for (const UncertainInput& input : odds.inputs) {
    sum.add(input.words).add(fmt::format("{} {} {}", input.spread.cov, input.spread.low, input.spread.high));
    for (std::size_t l = 0; l < input.spread.laws.size(); ++l)
      sum.add(input.spread.laws[l]).add(fmt::format("{}", input.spread.weights[l]));
  }
  return sum.text();
}

void count_cuts(Odds& odds, const Plot& first, const Plot& second) {
  for (const std::vector<double>& values : odds.values)
    for (const Plot* plot : {&first, &second})
      (void)drawn_case(plot->input, odds.inputs, values, plot->mesh.walls, odds.cuts);
}

Odds prepared(const Plot& first, const Plot& second, const ordered_json& pairs,
              const OddsSettings& settings) {
  Odds odds;
  odds.first = first.input.name;
  odds.second = second.input.name;
  odds.mode = first.input.solver.mode == Mode::intact ? "intact" : "debonding";
  odds.element_size = std::max(first.input.mesh_size.bond, second.input.mesh_size.bond);
  odds.seed = settings.seed;
  odds.asked = settings.draws;
  // Whatever the number of draws, so that more of them go on from fewer.
  odds.in_lanes = settings.lanes.most > 0 && odds.mode == "intact";
  odds.machine = settings.lanes.machine;
  for (const Plot* plot : {&first, &second})
    if (const std::string coarse = coarse_of(*plot); !coarse.empty()) odds.coarse = coarse;
  odds.walls = walls_of(first, second, pairs);
  for (const WhyMeasure& measure : why_measures(odds.mode))
    if (odds.coarse.empty() || !measure.needs_fine) odds.measures.push_back(measure);
  std::vector<std::string> names = first.mesh.walls;
  for (const std::string& wall : second.mesh.walls)
    if (std::ranges::find(names, wall) == names.end()) names.push_back(wall);
  odds.inputs = uncertain_inputs(first.input, second.input, names);
  if (odds.inputs.empty())
    throw CaseError(fmt::format("{} and {}: nothing is drawn; the [spread] of both leaves nothing uncertain",
                                odds.first, odds.second));
  odds.values = draw_values(odds.inputs, odds.asked, odds.seed);
  odds.sum = sum_of(odds, first.input, second.input);
  count_cuts(odds, first, second);
  return odds;
}

}  // namespace

double Odds::number(const OddsRow& row, bool second_plan, std::size_t measure, std::size_t wall) const {
  if (row.status != RunStatus::done) return nan;
  return row.numbers.at((second_plan ? numbers_of_plan() : 0) + measure * walls.size() + wall);
}

int Odds::under_cured(bool second_plan) const {
  const std::size_t at = (second_plan ? 2 : 1) * numbers_of_plan() - 1;
  return static_cast<int>(std::ranges::count_if(
      rows, [&](const OddsRow& row) { return row.status == RunStatus::done && row.numbers.at(at) > 0; }));
}

std::vector<double> Odds::differences(std::size_t measure, std::size_t wall) const {
  std::vector<double> all;
  for (const OddsRow& row : rows)
    all.push_back(number(row, true, measure, wall) - number(row, false, measure, wall));
  return all;
}

int Odds::done() const {
  return static_cast<int>(std::ranges::count(rows, RunStatus::done, &OddsRow::status));
}

Case meshed_for_draws(Case input, const MeshSize& mesh) {
  const bool tied = input.mesh_size.tied_bond;
  input.mesh_size = mesh;
  input.mesh_size.tied_bond = tied;
  if (input.solver.mode == Mode::intact)
    input.solver.largest_conversion_step =
        std::max(input.solver.largest_conversion_step, draw_conversion_step);
  return input;
}

std::string how_made(const Odds& odds) {
  if (!odds.in_lanes) return "one by one";
  return odds.machine == LaneMachine::gpu ? "in lanes, led by the first, on a GPU where it had room"
                                          : "in lanes, led by the first";
}

Odds find_odds(const Case& first, const Case& second, const OddsSettings& settings) {
  if (first.solver.mode != second.solver.mode)
    throw CaseError(
        fmt::format("{} and {} are run in different modes; say --mode for both", first.name, second.name));
  const InterruptGuard interrupt;
  const Plot a = plot_of(first, nullptr), b = plot_of(second, &a);
  const ordered_json pairs = pairs_of(a, b);
  Odds odds = prepared(a, b, pairs, settings);
  std::optional<OddsDatabase> database;
  if (!settings.database.empty()) {
    database.emplace(settings.database, odds);
    database->take_over(settings.earlier);
    for (OddsRow& row : database->rows())
      if (row.draw <= odds.asked) odds.rows.push_back(std::move(row));
  }
  const DrawRunner runner(odds, a, b, pairs);
  DrawPool(odds, runner, settings, database ? &*database : nullptr).run(interrupt);
  return odds;
}

}  // namespace setstress
