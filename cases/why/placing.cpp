#include "cases/why/placing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "cases/check/case_check.hpp"
#include "cases/pose/pose.hpp"
#include "cases/result/mirror_walls.hpp"
#include "cases/words/wall_numbers.hpp"
#include "mesh/tetrahedra/measures.hpp"
#include "solver/element/bond_element.hpp"
#include "solver/model/own_light.hpp"
#include "solver/run/kept_bond.hpp"
#include "solver/run/shared_mesh.hpp"

namespace setstress {

namespace {

/// Everything that loads a body besides the setting of its filling: none of it.
void take_loads_away(Model& model) {
  constexpr double no_force = 1e-12;  // [N]; a bite without any is no bite, and its instants are to stay
  for (FixedSurface& hold : model.fixed) hold.value.setZero();
  for (Pressure& load : model.pressures) load.pressure = 0;
  for (FreeStrain& strain : model.free_strains) strain = {.region = strain.region, .ramp = strain.ramp};
  for (Bite& bite : model.timeline.bites) bite.force = no_force;
}

bool has_loads(const Model& model) {
  return !model.timeline.bites.empty() ||
         std::ranges::any_of(model.fixed, [](const FixedSurface& hold) { return !hold.value.isZero(0); }) ||
         std::ranges::any_of(model.pressures, [](const Pressure& load) { return load.pressure != 0; }) ||
         std::ranges::any_of(model.free_strains, [](const FreeStrain& strain) {
           return strain.uniform != 0 || !strain.gradient.isZero(0) || strain.radial != 0;
         });
}

/// The model with the shrinkage of one increment (from 0) alone, or, past the last one, without any but with
/// all other loads.
Model of_share(Model model, int share, int increments) {
  if (share < increments) take_loads_away(model);
  for (std::size_t r = 0; r < model.materials.size(); ++r)
    if (model.mesh.regions[r].is_filling() && model.mesh.regions[r].increment != share)
      std::get<Composite>(model.materials[r]).volumetric_shrinkage = 0;
  return model;
}

std::vector<Placing::Increment> increments_of(const Case& input, const Model& model) {
  const nlohmann::ordered_json factors = c_factors(input, model.mesh).at("increments");
  std::vector<Placing::Increment> increments(model.timeline.placements.size());
  for (const Placement& placement : model.timeline.placements) {
    const auto number = static_cast<std::size_t>(placement.increment);
    const nlohmann::ordered_json& factor = factors.at(number).at("c_factor");
    const std::vector<Exposure> own = own_exposures(model.timeline, placement.increment);
    increments.at(number) = {
        .material = input.plan.materials.at(number),
        .volume = 0,
        .placed = placement.time,
        .lit = own.empty() ? std::nullopt : std::optional(own.front().start),
        .c_factor = factor.is_number() ? std::optional(factor.get<double>()) : std::nullopt};
  }
  const std::vector<double> volumes = region_volumes(model.mesh);
  for (std::size_t r = 0; r < volumes.size(); ++r)
    if (model.mesh.regions[r].is_filling())
      increments.at(static_cast<std::size_t>(model.mesh.regions[r].increment)).volume += volumes[r];
  return increments;
}

using FacetsOfWall = std::vector<std::size_t>;

/// Sees the runs of one plan: first its own, then one a share.
class PlanAccount {
 public:
  PlanAccount(const Case& input, const Model& model, Placing& placing)
      : mesh_(model.mesh), slopes_(model.mesh), placing_(placing) {
    placing.plan = input.name;
    placing.increments = increments_of(input, model);
    for (std::size_t i = 0; i < placing.increments.size(); ++i)
      placing.shares.push_back(fmt::format("increment {}", i + 1));
    if (has_loads(model)) placing.shares.emplace_back("other loads");
    add_walls(input);
  }

  /// The next instant of the plan's own run.
  void see(const Frame& frame) {
    placing_.times.push_back(frame.time);
    at_.push_back(slopes_.of(frame));
    for (std::size_t w = 0; w < facets_.size(); ++w) {
      const Means means = means_of(w, frame, at_.back());
      whole_pull_[w].push_back(means.pull);
      placing_.walls[w].is_whole.push_back(means.share_placed >= 1 - 1e-9 ? 1 : 0);
    }
  }

  /// One instant of the run of a share.
  void see(std::size_t share, const Frame& frame) {
    const std::size_t instant = placing_.walls.front().pull[share].size();
    if (instant >= at_.size() || frame.time != placing_.times[instant])
      throw std::runtime_error(fmt::format(
          "{}: the run of {} takes other steps than the plan's own, so they cannot be set side by "
          "side",
          placing_.plan, placing_.shares[share]));
    for (std::size_t w = 0; w < facets_.size(); ++w) {
      const Means means = means_of(w, frame, at_[instant]);
      placing_.walls[w].pull[share].push_back(means.pull);
      placing_.walls[w].ratio[share].push_back(means.ratio);
    }
  }

  /// Throws std::runtime_error where the shares do not add up to the plan's own run.
  void close() {
    constexpr double allowed = 1e-3;  // of the largest pull; linear solves leave a thousandth of that
    double largest = 0;
    for (std::size_t w = 0; w < facets_.size(); ++w)
      for (std::size_t i = 0; i < placing_.times.size(); ++i) {
        largest = std::max(largest, std::abs(whole_pull_[w][i]));
        placing_.rest =
            std::max(placing_.rest, std::abs(placing_.walls[w].whole_pull(i) - whole_pull_[w][i]));
      }
    if (placing_.rest > allowed * largest)
      throw std::runtime_error(
          fmt::format("{}: what the increments do adds up to a pull {:.2g} MPa off that of the plan itself, "
                      "where {:.2g} MPa are allowed",
                      placing_.plan, placing_.rest, allowed * largest));
  }

 private:
  struct Means {
    double pull = 0, ratio = 0, share_placed = 0;
  };

  [[nodiscard]] Means means_of(std::size_t wall, const Frame& frame,
                               const std::vector<std::array<Eigen::Vector3d, 6>>& slopes) const {
    Means means;
    double placed = 0, all = 0;
    for (const std::size_t f : facets_[wall])
      for (std::size_t p = 0; p < 6; ++p) {
        const BondPoint& point = frame.bond[f][p];
        const double area = facet_points()[p].weight * slopes_.area(f);
        all += area;
        if (!point.active) continue;
        placed += area;
        means.pull += area * point.traction.dot(slopes_.normal(f));
        means.ratio += area * point.traction.dot(slopes[f][p]);
      }
    if (placed > 0) means.pull /= placed, means.ratio /= placed;
    means.share_placed = all > 0 ? placed / all : 0;
    return means;
  }

  void add_walls(const Case& input) {
    const auto pairs = mirror_walls(input);
    const Eigen::MatrixXd areas = wall_areas_by_increment(mesh_);
    std::vector<char> told(mesh_.walls.size(), 0);
    const auto index = [&](const std::string& name) {
      return static_cast<std::size_t>(std::ranges::find(mesh_.walls, name) - mesh_.walls.begin());
    };
    for (std::size_t w = 0; w < mesh_.walls.size(); ++w) {
      if (told[w]) continue;
      std::vector<std::size_t> together{w};
      WallNumbers named{.wall = mesh_.walls[w]};
      for (const auto& [one, other] : pairs)
        if (mesh_.walls[w] == one || mesh_.walls[w] == other) {
          together = {index(one), index(other)};
          named = {.wall = one + " and " + other, .mirrored = true};
        }
      for (const std::size_t each : together) told[each] = 1;
      add_wall(named, together, areas);
    }
    std::vector<std::size_t> all(mesh_.walls.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    add_wall({.wall = "all"}, all, areas);
  }

  void add_wall(const WallNumbers& named, const std::vector<std::size_t>& walls,
                const Eigen::MatrixXd& areas) {
    FacetsOfWall facets;
    for (std::size_t f = 0; f < mesh_.bond.size(); ++f)
      if (std::ranges::find(walls, static_cast<std::size_t>(mesh_.bond[f].wall)) != walls.end())
        facets.push_back(f);
    PlacedWall wall{.wall = named.wall, .words = wall_in_words(named)};
    for (Eigen::Index i = 0; i < areas.cols(); ++i) {
      wall.bonded.push_back(0);
      for (const std::size_t each : walls) wall.bonded.back() += areas(static_cast<Eigen::Index>(each), i);
    }
    wall.pull.resize(placing_.shares.size());
    wall.ratio.resize(placing_.shares.size());
    facets_.push_back(std::move(facets));
    whole_pull_.emplace_back();
    placing_.walls.push_back(std::move(wall));
  }

  const Mesh& mesh_;
  RatioSlopes slopes_;
  Placing& placing_;
  std::vector<FacetsOfWall> facets_;                             ///< by wall of the placing
  std::vector<std::vector<double>> whole_pull_;                  ///< of the plan's own run, by wall, instant
  std::vector<std::vector<std::array<Eigen::Vector3d, 6>>> at_;  ///< r'(t) of it, by instant
};

double sum_at(const std::vector<std::vector<double>>& shares, std::size_t instant) {
  double sum = 0;
  for (const std::vector<double>& share : shares) sum += share.at(instant);
  return sum;
}

}  // namespace

double PlacedWall::whole_pull(std::size_t instant) const {
  return sum_at(pull, instant);
}

double PlacedWall::whole_ratio(std::size_t instant) const {
  return sum_at(ratio, instant);
}

std::optional<std::size_t> PlacedWall::highest() const {
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < is_whole.size(); ++i)
    if (is_whole[i] && (!found || whole_ratio(i) > whole_ratio(*found))) found = i;
  return found;
}

std::optional<std::size_t> PlacedWall::half_there(std::size_t share) const {
  constexpr double too_little = 0.05;  // [MPa]
  const std::vector<double>& own = pull.at(share);
  if (own.empty() || std::abs(own.back()) < too_little) return std::nullopt;
  const auto half = std::ranges::find_if(own, [&](double now) { return now / own.back() >= 0.5; });
  return static_cast<std::size_t>(half - own.begin());
}

RatioSlopes::RatioSlopes(const Mesh& mesh) {
  for (const BondFacet& facet : mesh.bond) {
    const FacetGeometry geometry = geometry_of(mesh, facet.tooth);
    normals_.emplace_back(geometry.to_local.row(0).transpose());
    areas_.push_back(geometry.area);
  }
}

std::vector<std::array<Eigen::Vector3d, 6>> RatioSlopes::of(const Frame& frame) const {
  std::vector<std::array<Eigen::Vector3d, 6>> slopes(frame.bond.size());
  for (std::size_t f = 0; f < slopes.size(); ++f)
    for (std::size_t p = 0; p < 6; ++p) {
      const BondPoint& point = frame.bond[f][p];
      slopes[f][p].setZero();
      if (!point.active || !(point.ratio > 0)) continue;
      const double normal = point.traction.dot(normals_[f]);
      const Eigen::Vector3d shear = point.traction - normal * normals_[f];
      slopes[f][p] = (std::max(normal, 0.0) / std::pow(point.tensile_strength, 2) * normals_[f] +
                      shear / std::pow(point.shear_strength, 2)) /
                     point.ratio;
    }
  return slopes;
}

struct PlacingRuns::Plan {
  Case input;
  Model model;
  const KeptRun* made;  ///< its own run; null: to be solved
  [[nodiscard]] int increments() const { return static_cast<int>(model.timeline.placements.size()); }
  [[nodiscard]] int shares() const { return increments() + (has_loads(model) ? 1 : 0); }
  /// Its own, then one a share; a plan with one share is that share.
  [[nodiscard]] int runs() const { return shares() == 1 ? 1 : 1 + shares(); }
  [[nodiscard]] int solutions() const { return runs() - (made != nullptr ? 1 : 0); }
};

void require_superposition(const Case& input) {
  if (input.solver.mode != Mode::intact)
    throw CaseError(
        fmt::format("{} is run with a bond that may let go, and what increments do does not add up then; "
                    "--why placing needs --mode intact",
                    input.name));
}

PlacingRuns::PlacingRuns(const Case& first, const Case& second, const MadeRuns& made) {
  for (const Case* input : {&first, &second}) {
    require_superposition(*input);
    plans_.push_back({*input, pose(*input), nullptr});
    for (const KeptRun* run : made)
      if (run->serves(*input, plans_.back().model)) plans_.back().made = run;
    if (plans_.back().model.mesh.bond.empty())
      throw CaseError(fmt::format("{}: has no bond, so no increment loads any wall of it", input->name));
  }
  one_solution_ = IntactInputs(plans_[0].model, first.solver) == IntactInputs(plans_[1].model, second.solver);
}

PlacingRuns::~PlacingRuns() = default;

int PlacingRuns::solutions() const {
  return plans_[0].solutions() + (one_solution_ ? 0 : plans_[1].solutions());
}

std::vector<Placing> PlacingRuns::solve(const SharedRuns::Watch& watch) const {
  std::vector<Placing> found(plans_.size());
  std::vector<PlanAccount> accounts;
  for (std::size_t p = 0; p < plans_.size(); ++p)
    accounts.emplace_back(plans_[p].input, plans_[p].model, found[p]);
  int solved = 0;
  for (std::size_t p = 0; p < (one_solution_ ? 1 : plans_.size()); ++p) {
    const Plan& plan = plans_[p];
    const SharedMesh shared(plan.model);
    for (int run = 0; run < plan.runs(); ++run) {  // the first is the plan's own
      const auto posed = [&](const Plan& of) {
        return run == 0 ? of.model : of_share(of.model, run - 1, of.increments());
      };
      const Model model = posed(plan);
      KeptBond solution(model, plan.input.solver);
      const bool is_made = run == 0 && plan.made != nullptr;
      const auto keep = [&](const Frame& frame, const Progress& at) {
        solution.add(frame);
        return watch((solved + at.fraction) / solutions(), solved);
      };
      if (!is_made && !simulate(model, plan.input.solver, keep, shared).finished)
        throw RunsStopped("stopped as asked");
      solved += is_made ? 0 : 1;
      const KeptBond& kept = is_made ? plan.made->bond() : solution;
      for (std::size_t q = p; q < (one_solution_ ? plans_.size() : p + 1); ++q)
        kept.for_each(posed(plans_[q]), [&](const Frame& frame, std::size_t) {
          if (run == 0) accounts[q].see(frame);
          if (run > 0 || plan.runs() == 1)
            accounts[q].see(static_cast<std::size_t>(std::max(0, run - 1)), frame);
        });
    }
  }
  for (PlanAccount& account : accounts) account.close();
  return found;
}

}  // namespace setstress
