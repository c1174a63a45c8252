#include "cases/wait/wait_runs.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

#include "cases/check/cure_check.hpp"
#include "cases/pose/pose.hpp"
#include "cases/pose/run_cost.hpp"
#include "cases/result/energy_bound.hpp"
#include "cases/result/history.hpp"
#include "cases/wait/shifted_plan.hpp"
#include "cases/words/bond_words.hpp"
#include "solver/run/shared_mesh.hpp"
#include "solver/run/simulate.hpp"
#include "viz/words/spoken_time.hpp"

namespace setstress {

namespace {

bool is_row(const WallRow& row, const WallLimit& limit) {
  return wall_name(row) == limit.wall && substrate_name(row) == limit.substrate;
}

/// The limit must be on a part of the bond that is there.
void require_row(const Model& model, const Case& input, const WallLimit& limit) {
  std::set<std::pair<std::string, std::string>> parts{{"all", "all"}};
  for (std::size_t f = 0; f < model.mesh.bond.size(); ++f) {
    const std::string wall = model.mesh.walls[static_cast<std::size_t>(model.mesh.bond[f].wall)];
    const std::string substrate = name_of(model.substrates[f]);
    parts.insert({{wall, substrate}, {wall, "all"}, {"all", substrate}});
  }
  if (model.mesh.bond.empty())
    throw CaseError(fmt::format("{}: has no bond, so there is nothing to wait for", input.name));
  if (parts.contains({limit.wall, limit.substrate})) return;
  std::vector<std::string> words;
  for (const auto& [wall, substrate] : parts) words.push_back(fmt::format("{} ({})", wall, substrate));
  throw CaseError(fmt::format("{}: has no wall \"{}\" on substrate \"{}\"; it has: {}", input.name,
                              limit.wall, limit.substrate, fmt::join(words, ", ")));
}

void require_mode(const Case& input, const WallLimit& limit) {
  if (needs_debonding(limit.quantity) && input.solver.mode == Mode::intact)
    throw CaseError(
        fmt::format("{}: {} is 0 while the bond holds; say --mode debonding, so that it can let go",
                    input.name, name_of(limit.quantity)));
}

}  // namespace

WaitRuns::WaitRuns(const Case& input, const WallLimit& limit, int entry, std::vector<MaturityChoice> laws,
                   Watch watch, KeptAnswers* kept)
    : input_(input),
      limit_(limit),
      entry_(entry),
      laws_(std::move(laws)),
      watch_(std::move(watch)),
      answers_on_disk_(kept),
      question_(sum_of_question(input, limit, entry)) {
  (void)wait_before(input, entry);
  require_mode(input, limit);
  model_ = pose(input);
  require_row(model_, input, limit);
  cure_["cure"] = cure_without_solving(input, model_);
  shared_ = std::make_shared<const SharedMesh>(model_);
  report_.emplace(model_.mesh, model_.substrates);
  if (kept == nullptr) return;
  for (const WaitAnswer& answer : kept->of(question_))
    for (std::size_t law = 0; law < laws_.size(); ++law)
      if (laws_[law].name == answer.law) known_[{answer.wait, law}] = answer.largest;
}

double WaitRuns::expected_seconds() const {
  return estimated_seconds(input_, model_.mesh.unknowns());
}

int WaitRuns::facets() const {
  int count = 0;
  for (std::size_t f = 0; f < model_.mesh.bond.size(); ++f) {
    const std::string& wall = model_.mesh.walls[static_cast<std::size_t>(model_.mesh.bond[f].wall)];
    const bool on_wall = limit_.wall == "all" || limit_.wall == wall;
    count += on_wall && (limit_.substrate == "all" || limit_.substrate == name_of(model_.substrates[f]));
  }
  return count;
}

/// `stored` [mJ] in it, where that is to be set against what parting the wall takes.
void WaitRuns::see(const Frame& frame, std::optional<double> stored, LargestValue& largest) const {
  const std::vector<WallRow> rows = report_->of(frame);
  const auto row = std::ranges::find_if(rows, [&](const WallRow& each) { return is_row(each, limit_); });
  if (row == rows.end()) throw std::logic_error("the wall that is limited is not in the report");
  largest.see(*row, limit_.quantity);
  if (!stored || limit_.substrate != "all" || !model_.strength_factors.empty()) return;
  const auto needed = parting_energies(model_, rows, frame.time);
  if (const auto of_wall = needed.find(limit_.wall); of_wall != needed.end())
    largest.see_energy(*stored, of_wall->second);
}

void WaitRuns::keep(double wait, std::size_t law, const LargestValue& largest) {
  const bool is_new = known_.insert_or_assign({wait, law}, largest).second;
  if (is_new && answers_on_disk_ != nullptr)
    answers_on_disk_->keep(question_, {laws_.at(law).name, wait, largest});
}

std::optional<PartFilled> WaitRuns::higher_part(double wait, std::size_t law) const {
  const auto found = known_.find({wait, law});
  return found == known_.end() || !found->second ? std::nullopt : found->second->higher_part();
}

std::optional<double> WaitRuns::energy_bound(double wait, std::size_t law) const {
  const auto found = known_.find({wait, law});
  return found == known_.end() || !found->second ? std::nullopt : found->second->energy_bound;
}

std::string WaitRuns::coarse_mesh() const {
  return coarse_mesh_sentence(input_.mesh_size.bond, report_->fewest_averaging_points());
}

void WaitRuns::solve(double wait, const FrameSink& see) {
  ++solved_;
  const auto sink = [&](const Frame& frame, const Progress& at) {
    return see(frame, at) && watch_(at.fraction, wait);
  };
  if (!simulate(model_, input_.solver, sink, *shared_).finished) throw WaitStopped("stopped as asked");
}

/// Stress does not depend on strength, so one solution serves every law; where nothing but strength changes
/// before the first increment, every wait before that as well.
void WaitRuns::judge(double wait, std::size_t law) {
  const bool is_there = kept_ && kept_->serves(model_, input_.solver);
  if (!is_there) {
    kept_.reset();
    stored_.clear();
    KeptBond solution(model_, input_.solver);
    solve(wait, [&](const Frame& frame, const Progress&) {
      solution.add(frame);
      stored_.push_back(stored_energy(frame.energies));
      return true;
    });
    kept_.emplace(std::move(solution));
  }
  for (std::size_t each = 0; each < laws_.size(); ++each) {
    if (is_there && each != law) continue;
    if (!watch_(1, wait)) throw WaitStopped("stopped as asked");
    model_.adhesive.strength_maturity = laws_[each].strength;
    LargestValue largest;
    kept_->for_each(model_,
                    [&](const Frame& frame, std::size_t kept) { see(frame, stored_.at(kept), largest); });
    keep(wait, each, largest);
  }
}

std::optional<double> WaitRuns::value(double wait, std::size_t law) {
  const std::pair asked(wait, law);
  const auto number = [&](const std::optional<LargestValue>& largest) {
    return largest ? std::optional(largest->value) : std::nullopt;
  };
  if (const auto found = known_.find(asked); found != known_.end()) return number(found->second);
  model_.timeline = with_wait(input_, entry_, wait).timeline;
  model_.adhesive.strength_maturity = laws_.at(law).strength;
  const auto failed = [&](const std::exception& error) {
    known_[asked] = std::nullopt;
    if (input_.solver.mode == Mode::intact)
      for (std::size_t each = 0; each < laws_.size(); ++each) known_[{wait, each}] = std::nullopt;
    failures_.push_back(fmt::format("{}, wait {}, law {}: {}", input_.name, duration_text(wait),
                                    laws_[law].name, error.what()));
  };
  try {
    if (input_.solver.mode == Mode::intact) {
      judge(wait, law);
    } else {
      LargestValue largest;
      solve(wait, [&](const Frame& frame, const Progress&) {
        see(frame, std::nullopt, largest);
        return true;
      });
      keep(wait, law, largest);
    }
  } catch (const SolveError& error) {
    failed(error);
  } catch (const std::invalid_argument& error) {  // a bond that cannot let go under this law
    failed(error);
  }
  return number(known_.at(asked));
}

}  // namespace setstress
