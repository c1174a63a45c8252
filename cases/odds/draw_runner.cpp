#include "cases/odds/draw_runner.hpp"

#include <omp.h>

#include <algorithm>
#include <limits>

#include "cases/check/cure_json.hpp"
#include "cases/pose/pose.hpp"
#include "cases/pose/run_cost.hpp"
#include "cases/run/kept_run.hpp"
#include "cases/study/runs/run_pool.hpp"
#include "solver/machine/stopwatch.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// Tells how far a draw is; its first plan goes from 0, the second from a half.
StepWatch telling(double from) {
  return [from](const Frame&, const HistoryEntry&, const Progress& at) {
    RunPool::tell(from + 0.5 * at.fraction);
    return true;
  };
}

}  // namespace

RunRecord DrawRunner::run(int draw) const {
  RunRecord record;
  try {
    omp_set_num_threads(1);
    const Case a = drawn(first_, draw), b = drawn(second_, draw);
    const Model model_a = pose(a, first_.mesh), model_b = pose(b, second_.mesh);
    const Stopwatch watch(record.seconds);
    const auto [one, other] = both(a, model_a, b, model_b);
    keep(one, other, record);
  } catch (const CaseError& error) {
    record.status = RunStatus::refused;
    record.message = error.what();
  } catch (const std::exception& error) {
    record.message = error.what();
  }
  return record;
}

void DrawRunner::keep(const ordered_json& one, const ordered_json& other, RunRecord& record) const {
  record.outputs = numbers_of(one);
  const std::vector<double> more = numbers_of(other);
  record.outputs.insert(record.outputs.end(), more.begin(), more.end());
  record.status = RunStatus::done;
}

std::size_t DrawRunner::solutions() const {
  if (first_.input.solver.mode == Mode::debonding) return 2;
  try {
    const Case a = drawn(first_, 1), b = drawn(second_, 1);
    return KeptRun(a, pose(a, first_.mesh)).serves(b, pose(b, second_.mesh)) ? 1 : 2;
  } catch (const std::exception&) {
    return 2;  // the draw itself will say why
  }
}

double DrawRunner::expected_seconds(std::size_t solutions, double pace) const {
  constexpr double with_long_steps = 2.0 / 3;  // of the time, see draw_conversion_step
  double seconds = estimated_seconds(first_.input, first_.mesh.unknowns());
  if (solutions == 2) seconds += estimated_seconds(second_.input, second_.mesh.unknowns());
  return pace * seconds * (first_.input.solver.mode == Mode::debonding ? 1 : with_long_steps);
}

Case DrawRunner::drawn(const Plot& plot, int draw) const {
  Cuts cuts;
  return drawn_case(plot.input, odds_.inputs, odds_.values.at(static_cast<std::size_t>(draw - 1)),
                    plot.mesh.walls, cuts);
}

/// Plans that differ in nothing but strength and the first wait have one solution.
std::pair<ordered_json, ordered_json> DrawRunner::both(const Case& a, const Model& model_a, const Case& b,
                                                       const Model& model_b) const {
  if (a.solver.mode == Mode::debonding)
    return {solve_case(a, model_a, telling(0), *first_.shared).summary,
            solve_case(b, model_b, telling(0.5), *second_.shared).summary};
  const KeptRun kept(a, model_a, *first_.shared, telling(0));
  return {kept.first().summary, kept.serves(b, model_b)
                                    ? kept.judged(b, model_b).summary
                                    : solve_case(b, model_b, telling(0.5), *second_.shared).summary};
}

/// By measure, then wall; last whether an increment is under-cured.
std::vector<double> DrawRunner::numbers_of(const ordered_json& summary) const {
  const std::vector<WallNumbers> walls = wall_numbers(summary, pairs_);
  std::vector<double> numbers;
  for (const WhyMeasure& measure : odds_.measures)
    for (const WallNumbers& wanted : odds_.walls) {
      const auto wall = std::ranges::find(walls, wanted.wall, &WallNumbers::wall);
      numbers.push_back(wall == walls.end()
                            ? std::numeric_limits<double>::quiet_NaN()
                            : measure.of(*wall).value_or(std::numeric_limits<double>::quiet_NaN()));
    }
  numbers.push_back(under_cure_of(summary).sentence.empty() ? 0 : 1);
  return numbers;
}

/// A draw on its way through lanes.
struct DrawRunner::Drawn {
  Case a, b;
  Model model_a, model_b;
  KeptRun kept;
  std::optional<ordered_json> one = {}, other = {};
};

/// Nothing where the draw is to be made alone, which says why.
std::unique_ptr<DrawRunner::Drawn> DrawRunner::posed(int draw) const {
  try {
    Case a = drawn(first_, draw), b = drawn(second_, draw);
    Model model_a = pose(a, first_.mesh), model_b = pose(b, second_.mesh);
    KeptRun kept(a, model_a);
    return std::unique_ptr<Drawn>(
        new Drawn{std::move(a), std::move(b), std::move(model_a), std::move(model_b), std::move(kept)});
  } catch (const std::exception&) {
    return nullptr;
  }
}

/// The first draw that can be: whatever is drawn, events come in its order.
std::unique_ptr<DrawRunner::Drawn> DrawRunner::leading() const {
  constexpr int most_tried = 16;
  for (int draw = 1; draw <= std::min(most_tried, odds_.asked); ++draw)
    if (auto leader = posed(draw)) return leader;
  return nullptr;
}

void DrawRunner::solve_first(const Drawn& leader, std::span<const std::unique_ptr<Drawn>> draws,
                             LaneMachine machine) const {
  std::vector<PosedCase> cases;
  std::vector<Drawn*> of;
  for (const auto& draw : draws) {
    if (!draw) continue;
    of.push_back(draw.get());
    cases.push_back({&draw->a, &draw->model_a,
                     [kept = &draw->kept](const Frame& frame, const HistoryEntry& entry, const Progress& at) {
                       kept->add(frame);
                       return telling(0)(frame, entry, at);
                     }});
  }
  auto solved = solve_together({&leader.a, &leader.model_a}, cases, *first_.shared,
                               narrowest_lanes(draws.size(), machine), Tissues::each_its_own, machine);
  for (std::size_t i = 0; i < solved.size(); ++i) {
    if (!solved[i]) continue;
    of[i]->one = solved[i]->summary;
    of[i]->kept.close(std::move(*solved[i]));
  }
}

/// Judged on the first plan's solution where that serves.
void DrawRunner::solve_second(const Drawn& leader, std::span<const std::unique_ptr<Drawn>> draws,
                              LaneMachine machine) const {
  std::vector<PosedCase> cases;
  std::vector<Drawn*> of;
  for (const auto& draw : draws) {
    if (!draw || !draw->one) continue;
    if (draw->kept.serves(draw->b, draw->model_b)) {
      draw->other = draw->kept.judged(draw->b, draw->model_b).summary;
      continue;
    }
    of.push_back(draw.get());
    cases.push_back({&draw->b, &draw->model_b, telling(0.5)});
  }
  if (cases.empty()) return;
  const auto solved = solve_together({&leader.b, &leader.model_b}, cases, *second_.shared,
                                     narrowest_lanes(draws.size(), machine), Tissues::each_its_own, machine);
  for (std::size_t i = 0; i < solved.size(); ++i)
    if (solved[i]) of[i]->other = solved[i]->summary;
}

/// Nothing where they are to be made alone, which says what it was that failed.
DrawRunner::Draws DrawRunner::made_on(LaneMachine machine, const std::vector<int>& draws) const {
  Draws made;
  try {
    const auto leader = leading();
    if (!leader) return made;
    for (const int draw : draws) made.push_back(posed(draw));
    const std::size_t most = machine == LaneMachine::gpu ? made.size() : usual_lanes;
    for (std::size_t first = 0; first < made.size(); first += most) {
      const auto together = std::span(made).subspan(first, std::min(most, made.size() - first));
      solve_first(*leader, together, machine);
      solve_second(*leader, together, machine);
    }
    return made;
  } catch (const std::exception& error) {  // of all of them
    if (machine == LaneMachine::processor) return {};
    tell_of_processor(error.what());
    return made_on(LaneMachine::processor, draws);
  }
}

std::vector<RunRecord> DrawRunner::run_together(const std::vector<int>& draws) const {
  omp_set_num_threads(1);
  double seconds = 0;
  Draws made = [&] {
    const Stopwatch watch(seconds);
    return made_on(odds_.machine, draws);
  }();
  made.resize(draws.size());
  std::vector<RunRecord> records;
  for (std::size_t i = 0; i < draws.size(); ++i) {
    if (!made[i] || !made[i]->one || !made[i]->other) {
      records.push_back(run(draws[i]));
      continue;
    }
    RunRecord& record = records.emplace_back();
    keep(*made[i]->one, *made[i]->other, record);
    record.seconds = seconds / static_cast<double>(draws.size());
  }
  return records;
}

}  // namespace setstress
