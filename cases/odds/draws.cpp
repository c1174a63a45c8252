#include "cases/odds/draws.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <set>

#include "cases/study/design/sampling.hpp"
#include "cases/study/file/random_input.hpp"

namespace setstress {

namespace {

using Kind = SpreadField::Kind;

bool any_tip(const Case& input) {
  return std::ranges::any_of(input.plan.timeline.exposures,
                             [](const Exposure& exposure) { return exposure.tip.has_value(); });
}

bool film_follows_thickness(const Adhesive& adhesive) {
  return adhesive.normal_stiffness_override == 0 && adhesive.shear_stiffness_override == 0;
}

/// Whether the law of maturity is drawn and may be this one.
bool may_draw(const Case& input, const std::string& law) {
  const auto laws = std::ranges::find(input.materials.spreads, "maturity_law", &Spread::of);
  if (laws == input.materials.spreads.end() || !laws->is_drawn()) return false;
  const auto found = std::ranges::find(laws->laws, law);
  return found != laws->laws.end() &&
         laws->weights.at(static_cast<std::size_t>(found - laws->laws.begin())) > 0;
}

bool any_flow(const Case& input) {
  return std::ranges::any_of(input.materials.composites,
                             [](const auto& each) { return each.second.flow.flows(); });
}

/// Whether drawing it can change anything in this case.
bool acts_in(const Case& input, const std::string& of) {
  if (of == "flow_time") return any_flow(input);
  if (of == "lamp_distance") return any_tip(input);
  if (of == "lamp_output") return !input.plan.timeline.exposures.empty();
  if (of == "toughness") return input.solver.mode == Mode::debonding;
  if (of == "ten_minute_ratio") return may_draw(input, "ten-minute-pair");
  if (of == "at_once") return may_draw(input, "chairside-rule") || may_draw(input, "ten-minute-pair");
  if (of == "film_thickness") return film_follows_thickness(input.materials.adhesive);
  if (of == "dentin_modulus") return std::holds_alternative<ToothCase>(input.geometry);
  return true;
}

std::set<std::string> classes_of(const Case& first, const Case& second) {
  std::set<std::string> names;
  for (const Case* input : {&first, &second})
    for (const auto& [name, composite] : input->materials.composites) names.insert(name);
  return names;
}

/// What it is drawn for: classes, walls, or all at once.
std::vector<std::string> targets_of(const std::string& of, const std::set<std::string>& classes,
                                    const std::vector<std::string>& walls) {
  if (of == "shrinkage" || of == "modulus" || of == "attenuation") return {classes.begin(), classes.end()};
  if (of == "strength_of_wall") return walls;
  return {""};
}

double law_drawn(const Spread& spread, double share) {
  double left = share * std::accumulate(spread.weights.begin(), spread.weights.end(), 0.0);
  std::size_t law = 0;
  while (law + 1 < spread.laws.size() && left >= spread.weights[law]) left -= spread.weights[law++];
  return static_cast<double>(law);
}

double value_drawn(const Spread& spread, double share) {
  if (!spread.laws.empty()) return law_drawn(spread, share);
  if (spread.cov > 0) return quantile(Lognormal{1, std::sqrt(std::log1p(spread.cov * spread.cov))}, share);
  if (spread.logarithmic)
    return std::exp(quantile(Uniform{std::log(spread.low), std::log(spread.high)}, share));
  return quantile(Uniform{spread.low, spread.high}, share);
}

/// Puts the values of one draw into a case.
class Drawn {
 public:
  Drawn(const std::vector<UncertainInput>& inputs, const std::vector<double>& values,
        const std::vector<std::string>& walls, Cuts& cuts)
      : inputs_(inputs), values_(values), walls_(walls), cuts_(cuts) {}

  void put_into(Case& input) const {
    pastes(input.materials);
    lamps(input.plan.timeline);
    film(input.materials);
    strengths(input.materials);
    laws(input.materials.adhesive);
    each("dentin_modulus", [&](const UncertainInput&, double factor) {
      for (Elastic& dentin : input.materials.dentin) dentin.youngs_modulus *= factor;
    });
    each("placing_delay", [&](const UncertainInput&, double delay) { later(input.plan, delay); });
  }

 private:
  template <class Put>
  void each(std::string_view of, Put put) const {
    for (std::size_t i = 0; i < inputs_.size(); ++i)
      if (inputs_[i].spread.of == of) put(inputs_[i], values_.at(i));
  }

  void cut(double& value, double low, double high, const std::string& what) const {
    if (value >= low && value <= high) return;
    value = std::clamp(value, low, high);
    ++cuts_[fmt::format("{} at {:g}", what, value)];
  }

  void pastes(CaseMaterials& materials) const {
    for (auto& [name, composite] : materials.composites) {
      const auto own = [&name = name](const UncertainInput& input) {
        return input.target.empty() || input.target == name;
      };
      Composite& paste = composite;
      each("shrinkage", [&](const UncertainInput& input, double factor) {
        if (own(input)) cut(paste.volumetric_shrinkage *= factor, 0, 0.2, input.words);
      });
      each("modulus", [&](const UncertainInput& input, double factor) {
        if (own(input)) paste.stiffness.final_modulus *= factor;
      });
      each("attenuation", [&](const UncertainInput& input, double factor) {
        if (own(input)) paste.light.attenuation *= factor;
      });
      each("exponent", [&](const UncertainInput&, double value) { paste.stiffness.exponent = value; });
      each("gel_point", [&](const UncertainInput&, double value) { paste.stiffness.gel_point = value; });
      each("flow_time",
           [&](const UncertainInput& input, double value) { flow(paste.flow, value, input.words); });
    }
  }

  /// The first branch in use relaxes in `time` [s] once set, the other in proportion; never faster than while
  /// soft.
  void flow(FlowLaw& law, double time, const std::string& words) const {
    if (!law.flows()) return;
    const double factor = time / law.branches[law.uses(0) ? 0 : 1].time_set;
    for (std::size_t b = 0; b < law.branches.size(); ++b)
      if (MaxwellBranch& branch = law.branches[b]; law.uses(b))
        cut(branch.time_set *= factor, branch.time_soft, std::numeric_limits<double>::infinity(), words);
  }

  void lamps(Timeline& timeline) const {
    for (Exposure& exposure : timeline.exposures) {
      each("lamp_output", [&](const UncertainInput& input, double factor) {
        cut(exposure.irradiance *= factor, 1, 10000, input.words);
      });
      each("lamp_distance", [&](const UncertainInput&, double value) {
        if (!exposure.tip) return;
        (exposure.tip->distance ? *exposure.tip->distance : exposure.tip->gap) = value;
        exposure.tip->kept.keeps_last = true;  // drawn farther away than the curve is known
      });
    }
  }

  /// Walls whose film is the adhesive's own follow it.
  void film(CaseMaterials& materials) const {
    each("film_thickness", [&](const UncertainInput&, double value) {
      if (!film_follows_thickness(materials.adhesive)) return;
      const WallBond before = wall_bond(materials.adhesive);
      materials.adhesive.film_thickness = value;
      for (auto& [wall, bond] : materials.wall_bonds)
        if (bond.normal_stiffness == before.normal_stiffness &&
            bond.shear_stiffness == before.shear_stiffness) {
          bond.normal_stiffness = materials.adhesive.normal_stiffness();
          bond.shear_stiffness = materials.adhesive.shear_stiffness();
        }
    });
  }

  void strengths(CaseMaterials& materials) const {
    const auto everywhere = [&](const auto& change) {
      for (auto& [substrate, strength] : materials.adhesive.strength) change(strength);
      for (auto& [wall, bond] : materials.wall_bonds)
        for (auto& [substrate, strength] : bond.strength) change(strength);
    };
    each("strength", [&](const UncertainInput&, double factor) {
      everywhere([factor](BondStrength& bond) { bond.tensile *= factor, bond.shear *= factor; });
    });
    each("toughness", [&](const UncertainInput&, double factor) {
      everywhere([factor](BondStrength& bond) {
        bond.fracture_energy_opening *= factor;
        bond.fracture_energy_sliding *= factor;
      });
    });
    each("strength_of_wall", [&](const UncertainInput& input, double factor) {
      if (std::ranges::find(walls_, input.target) == walls_.end()) return;
      const auto bond = materials.wall_bonds.emplace(input.target, wall_bond(materials.adhesive)).first;
      for (auto& [substrate, strength] : bond->second.strength)
        strength.tensile *= factor, strength.shear *= factor;
    });
  }

  /// Of a law without that parameter the value is drawn in vain.
  void laws(Adhesive& adhesive) const {
    constexpr double usual_at_once = 0.5, usual_ratio = 0.69;  // as where a case gives none
    double at_once = usual_at_once, ratio = usual_ratio;
    each("at_once", [&](const UncertainInput&, double value) { at_once = value; });
    each("ten_minute_ratio", [&](const UncertainInput&, double value) { ratio = value; });
    each("maturity_law", [&](const UncertainInput& input, double which) {
      const std::string& name = input.spread.laws.at(static_cast<std::size_t>(which));
      const MaturityLaw law = name == "chairside-rule" ? MaturityLaw::chairside_rule(at_once)
                              : name == "ten-minute-pair"
                                  ? MaturityLaw::ten_minute_pair(ratio, std::min(at_once, ratio))
                                  : MaturityLaw::mature_at_once();
      for (auto& [substrate, own] : adhesive.strength_maturity) own = law;
    });
  }

  /// Every increment lies in place `delay` [s] later than planned, all that follows with it.
  static void later(Plan& plan, double delay) {
    Timeline& timeline = plan.timeline;
    const std::vector<Placement> before = timeline.placements;
    const auto shift = [&](double instant) {
      return delay * static_cast<double>(std::ranges::count_if(
                         before, [&](const Placement& placed) { return placed.time <= instant; }));
    };
    for (Exposure& exposure : timeline.exposures) exposure.start += shift(exposure.start);
    for (Placement& placed : timeline.placements) placed.time += shift(placed.time);
    for (Bite& bite : timeline.bites) bite.start += shift(bite.start);
    if (plan.gap_fluid)
      for (double* instant : {&plan.gap_fluid->from, &plan.gap_fluid->air_leaves_until})
        *instant += shift(*instant);
    timeline.end += shift(timeline.end);
    plan.chair_time += shift(plan.chair_time);
  }

  const std::vector<UncertainInput>& inputs_;
  const std::vector<double>& values_;
  const std::vector<std::string>& walls_;
  Cuts& cuts_;
};

}  // namespace

std::vector<UncertainInput> uncertain_inputs(const Case& first, const Case& second,
                                             const std::vector<std::string>& walls) {
  if (first.materials.spreads != second.materials.spreads)
    throw CaseError(
        fmt::format("{} and {} give different [spread]: both plans are drawn alike; give both the "
                    "same",
                    first.name, second.name));
  const std::set<std::string> classes = classes_of(first, second);
  std::vector<UncertainInput> inputs;
  for (const SpreadField& field : spread_fields()) {
    const auto spread = std::ranges::find(first.materials.spreads, field.of, &Spread::of);
    if (spread == first.materials.spreads.end() || !spread->is_drawn()) continue;
    if (!acts_in(first, spread->of) && !acts_in(second, spread->of)) continue;
    for (const std::string& target : targets_of(spread->of, classes, walls)) {
      const bool is_value = field.kind == Kind::range || field.kind == Kind::log_range;
      const std::string unit = is_value ? std::string(field.allowed.unit) : "";
      inputs.push_back(
          {*spread, target,
           target.empty() ? std::string(field.words) : fmt::format("{} of {}", field.words, target), unit});
    }
  }
  return inputs;
}

std::vector<std::vector<double>> draw_values(const std::vector<UncertainInput>& inputs, int count,
                                             std::uint64_t seed) {
  std::vector<std::vector<double>> values = random_points(count, static_cast<int>(inputs.size()), seed);
  for (std::vector<double>& draw : values)
    for (std::size_t i = 0; i < inputs.size(); ++i) draw[i] = value_drawn(inputs[i].spread, draw[i]);
  return values;
}

Case drawn_case(const Case& input, const std::vector<UncertainInput>& inputs,
                const std::vector<double>& values, const std::vector<std::string>& walls, Cuts& cuts) {
  Case drawn = input;
  Drawn(inputs, values, walls, cuts).put_into(drawn);
  return drawn;
}

}  // namespace setstress
