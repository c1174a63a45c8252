#include "cases/fit/sought_constants.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "cases/library/material_fields.hpp"

namespace setstress {
namespace {

constexpr double widest = 20;  // bounds that nobody gave: a twentieth to twenty times the start

/// A number that can be sought.
struct Findable {
  std::string key;
  Quantity allowed;
  std::function<double&(FittedMaterial&)> in;
  std::vector<std::string> laws = {};  ///< of maturity that have it; empty: it is no constant of one
};

std::vector<Findable> of_composites() {
  std::vector<Findable> all;
  for (const Field<Composite>& field : composite_fields)
    if (field.unused.empty())
      all.push_back(
          {field.group.empty() ? std::string(field.key) : fmt::format("{}.{}", field.group, field.key),
           field.allowed,
           [in = field.in](FittedMaterial& material) -> double& { return in(material.composite); }});
  return all;
}

constexpr const char *at_once_key = "strength_maturity.at_once", *ratio_key = "strength_maturity.ratio";
constexpr Quantity ratio_range{"-", 0.6, 1};

/// The [[constant]] of that key; null where there is none.
std::optional<Section> sought_in(const Section& root, std::string_view key) {
  for (const Section& section : root.sections("constant"))
    if (section.text("key") == key) return section;
  return std::nullopt;
}

/// What is there at once is never more than there is after ten minutes, wherever the search goes.
double highest_at_once(const Section& root, const AgedBond& bond) {
  if (bond.law != ten_minute_law) return 0.7;
  const std::optional<Section> ratio = sought_in(root, ratio_key);
  return ratio ? ratio->number("low", ratio_range, ratio_range.low) : bond.ratio;
}
double lowest_ratio(const Section& root, const AgedBond& bond) {
  return sought_in(root, at_once_key) ? ratio_range.low : std::max(ratio_range.low, bond.at_once);
}

std::vector<Findable> of_bonds(const Section& root, const AgedBond& bond) {
  const auto strength = [](double BondStrength::*member) {
    return [member](FittedMaterial& material) -> double& { return material.bond->values().*member; };
  };
  const auto law = [](double AgedBond::*member) {
    return [member](FittedMaterial& material) -> double& { return (*material.bond).*member; };
  };
  return {{"strength.tensile", strength_range, strength(&BondStrength::tensile)},
          {"strength.shear", strength_range, strength(&BondStrength::shear)},
          {"strength.weibull_modulus", {"-", 1, 100}, strength(&BondStrength::weibull_modulus)},
          {at_once_key,
           {"-", 0, highest_at_once(root, bond), true},
           law(&AgedBond::at_once),
           {chairside_law, ten_minute_law}},
          {ratio_key, {"-", lowest_ratio(root, bond), 1}, law(&AgedBond::ratio), {ten_minute_law}}};
}

void require_law(const Section& section, const Findable& one, const FittedMaterial& start) {
  if (one.laws.empty() || std::ranges::count(one.laws, start.bond->law) > 0) return;
  section.fail("key", fmt::format("is \"{}\", which the law \"{}\" does not have; give another law, or "
                                  "leave the constant out",
                                  one.key, start.bond->law));
}

SoughtConstant read_one(const Section& section, const Findable& one, FittedMaterial& start) {
  const Quantity& allowed = one.allowed;
  double& value = one.in(start);
  value = section.number("start", allowed, value);
  if (!(value > 0)) section.fail("start", "is missing: the class does not have this value; give one above 0");
  const double low = section.number("low", allowed, std::max(allowed.low, value / widest));
  const double high = section.number("high", allowed, std::min(allowed.high, value * widest));
  if (!(low < high))
    section.fail("high", fmt::format("is {} [{}]; must be above low, {}", high, allowed.unit, low));
  if (!(low < value && value < high))
    section.fail("start", fmt::format("is {} [{}]; must be between low, {}, and high, {}", value,
                                      allowed.unit, low, high));
  return {one.key,
          std::string(allowed.unit),
          value,
          low,
          high,
          one.in,
          section.place("key"),
          section.number("error", {allowed.unit, 0, no_limit, true}, 0.0)};
}

SoughtConstant read_constant(const Section& section, const std::vector<Findable>& findable,
                             FittedMaterial& start) {
  const std::string key = section.text("key");
  std::vector<std::string> keys;
  for (const Findable& one : findable) {
    keys.push_back(one.key);
    if (one.key != key) continue;
    require_law(section, one, start);
    return read_one(section, one, start);
  }
  const auto guess = did_you_mean(key, keys);
  section.fail("key",
               fmt::format("is \"{}\"{}; must be a value of {} that results depend on, such as {} "
                           "(see setstress list --json and materials/README.md)",
                           key, guess ? fmt::format(", is \"{}\" meant?", *guess) : "",
                           start.bond ? "a bond" : "a composite", start.bond ? keys.front() : "cure.rate"));
}

}  // namespace

std::vector<SoughtConstant> read_constants(const Section& root, FittedMaterial& start) {
  const std::vector<Findable> findable = start.bond ? of_bonds(root, *start.bond) : of_composites();
  std::vector<SoughtConstant> constants;
  for (const Section& section : root.sections("constant")) {
    constants.push_back(read_constant(section, findable, start));
    const std::string& key = constants.back().key;
    if (std::ranges::count(constants, key, &SoughtConstant::key) > 1)
      section.fail("key", fmt::format("is \"{}\" twice; a constant is found once", key));
  }
  return constants;
}

}  // namespace setstress
