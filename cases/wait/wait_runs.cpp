#include "cases/wait/wait_runs.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

#include "cases/case_check.hpp"
#include "cases/history.hpp"
#include "cases/pose.hpp"
#include "cases/wait/shifted_plan.hpp"
#include "solver/shared_mesh.hpp"
#include "solver/simulate.hpp"

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

std::vector<std::array<BondPoint, 6>> bond_under(const Frame& frame, const std::vector<Substrate>& substrates,
                                                 const std::map<Substrate, MaturityLaw>& law,
                                                 const std::map<Substrate, MaturityLaw>& other) {
  std::vector<std::array<BondPoint, 6>> bond = frame.bond;
  for (std::size_t f = 0; f < bond.size(); ++f) {
    const double maturity = law.at(substrates[f])(frame.time);
    const double stronger = maturity / other.at(substrates[f])(frame.time);
    for (BondPoint& point : bond[f]) {
      point.tensile_strength *= stronger;
      point.shear_strength *= stronger;
      point.ratio /= stronger;
      point.maturity = maturity;
    }
  }
  return bond;
}

WaitRuns::WaitRuns(const Case& input, const WallLimit& limit, int entry, std::vector<MaturityChoice> laws,
                   Watch watch)
    : input_(input), limit_(limit), entry_(entry), laws_(std::move(laws)), watch_(std::move(watch)) {
  (void)wait_before(input, entry);
  require_mode(input, limit);
  model_ = pose(input);
  require_row(model_, input, limit);
  shared_ = std::make_shared<const SharedMesh>(model_);
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

std::vector<double> WaitRuns::largest_values(double wait, const std::vector<std::size_t>& laws) {
  model_.timeline = with_wait(input_, entry_, wait).timeline;
  const auto& solved_law = laws_[laws.front()].strength;
  model_.adhesive.strength_maturity = solved_law;
  std::vector<double> largest(laws.size(), 0.0);
  const WallReport report(model_.mesh, model_.substrates);
  Frame judged;
  const auto sink = [&](const Frame& frame, const Progress& at) {
    judged.time = frame.time;
    judged.placed = frame.placed;
    for (std::size_t k = 0; k < laws.size(); ++k) {
      judged.bond = bond_under(frame, model_.substrates, laws_[laws[k]].strength, solved_law);
      for (const WallRow& row : report.of(judged))
        if (is_row(row, limit_)) largest[k] = std::max(largest[k], value_of(row, limit_.quantity));
    }
    return watch_(at.fraction, wait);
  };
  if (!simulate(model_, input_.solver, sink, *shared_).finished) throw WaitStopped("stopped as asked");
  return largest;
}

std::optional<double> WaitRuns::value(double wait, std::size_t law) {
  auto& known = known_[wait];
  if (const auto found = known.find(law); found != known.end()) return found->second;
  std::vector<std::size_t> laws{law};
  if (serves_all_laws()) {
    laws.clear();
    for (std::size_t each = 0; each < laws_.size(); ++each) laws.push_back(each);
  }
  ++solved_;
  const auto failed = [&](const std::exception& error) {
    for (const std::size_t each : laws) known[each] = std::nullopt;
    failures_.push_back(fmt::format("{}, wait {}, law {}: {}", input_.name, duration_text(wait),
                                    laws_[law].name, error.what()));
  };
  try {
    const std::vector<double> values = largest_values(wait, laws);
    for (std::size_t k = 0; k < laws.size(); ++k) known[laws[k]] = values[k];
  } catch (const SolveError& error) {
    failed(error);
  } catch (const std::invalid_argument& error) {  // a bond that cannot let go under this law
    failed(error);
  }
  return known.at(law);
}

}  // namespace setstress
