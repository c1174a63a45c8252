#include "cases/wait/wait_runs.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

#include "cases/check/cure_check.hpp"
#include "cases/pose/pose.hpp"
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
                   Watch watch)
    : input_(input), limit_(limit), entry_(entry), laws_(std::move(laws)), watch_(std::move(watch)) {
  (void)wait_before(input, entry);
  require_mode(input, limit);
  model_ = pose(input);
  require_row(model_, input, limit);
  cure_["cure"] = cure_without_solving(input, model_);
  shared_ = std::make_shared<const SharedMesh>(model_);
  report_.emplace(model_.mesh, model_.substrates);
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

void WaitRuns::see(const Frame& frame, LargestValue& largest) const {
  for (const WallRow& row : report_->of(frame))
    if (is_row(row, limit_)) return largest.see(row, limit_.quantity);
  throw std::logic_error("the wall that is limited is not in the report");
}

void WaitRuns::keep(double wait, std::size_t law, const LargestValue& largest) {
  known_[{wait, law}] = largest.value;
  if (const auto part = largest.higher_part()) higher_parts_.insert_or_assign({wait, law}, *part);
}

std::optional<PartFilled> WaitRuns::higher_part(double wait, std::size_t law) const {
  const auto found = higher_parts_.find({wait, law});
  return found == higher_parts_.end() ? std::nullopt : std::optional(found->second);
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
    KeptBond solution(model_, input_.solver);
    solve(wait, [&](const Frame& frame, const Progress&) {
      solution.add(frame);
      return true;
    });
    kept_.emplace(std::move(solution));
  }
  for (std::size_t each = 0; each < laws_.size(); ++each) {
    if (is_there && each != law) continue;
    if (!watch_(1, wait)) throw WaitStopped("stopped as asked");
    model_.adhesive.strength_maturity = laws_[each].strength;
    LargestValue largest;
    kept_->for_each(model_, [&](const Frame& frame, std::size_t) { see(frame, largest); });
    keep(wait, each, largest);
  }
}

std::optional<double> WaitRuns::value(double wait, std::size_t law) {
  const std::pair asked(wait, law);
  if (const auto found = known_.find(asked); found != known_.end()) return found->second;
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
        see(frame, largest);
        return true;
      });
      keep(wait, law, largest);
    }
  } catch (const SolveError& error) {
    failed(error);
  } catch (const std::invalid_argument& error) {  // a bond that cannot let go under this law
    failed(error);
  }
  return known_.at(asked);
}

}  // namespace setstress
