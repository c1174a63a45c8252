#include "cases/library/plausible.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>
#include <optional>

#include "cases/reader/case_error.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

/// What is published of a kind of value; either end may be open.
struct Published {
  std::string_view kind;   ///< of material
  std::string_view names;  ///< of its classes: how they begin, "" for all
  std::string_view key;    ///< how the dotted key ends
  double low, high;
};

constexpr double open_end = std::numeric_limits<double>::infinity();

/// From the ranges beside the values of materials/library.toml and the sources named there; moduli of
/// fixtures from rubber to diamond, widths of films with all that is sold as one, speeds and times of cure:
/// from memory.
constexpr std::array published{Published{"composite", "", "light.attenuation", 0, 1.5},  // [1/mm]
                               Published{"composite", "", "cure.rate", 0.05, 1.5},       // [1/s]
                               Published{"composite", "", "cure.reference_irradiance", 300, 3000},
                               Published{"composite", "", "cure.dark_time", 1, 300},
                               Published{"composite", "", "stiffness.youngs_modulus", 1000, 25000},
                               Published{"composite", "", "volumetric_shrinkage", 0, 0.11},
                               Published{"composite", "", "tensile_strength", 10, 120},
                               Published{"composite", "", "increment_depth", 1, 6},
                               Published{"composite", "", "radiopacity", 0.3, 8},
                               Published{"tissue", "", "radiopacity", 0.1, 3},
                               Published{"fixture", "", "radiopacity", 0.05, 60},
                               Published{"tissue", "enamel", "youngs_modulus", 40000, 120000},
                               Published{"tissue", "pulp", "youngs_modulus", 0.001, 20},
                               Published{"tissue", "", "youngs_modulus", 3000, 30000},
                               Published{"tissue", "", "tensile_strength", 2, 130},
                               Published{"fixture", "", "youngs_modulus", 1, 1.2e6},
                               Published{"fixture", "", "tensile_strength", 1, 5000},
                               Published{"adhesive", "", "film_thickness", 0.002, 0.4},
                               Published{"adhesive", "", "youngs_modulus", 300, 12000},
                               Published{"adhesive", "", "normal_stiffness", 1e4,
                                         1.5e6},  // modulus over film, nearly held sideways [MPa/mm]
                               Published{"adhesive", "", "shear_stiffness", 2.5e3, 1e6},
                               Published{"adhesive", "", ".tensile", 4, 80},
                               Published{"adhesive", "", ".shear", 4, 80},
                               Published{"adhesive", "", ".weibull_modulus", 1.5, 15},
                               Published{"adhesive", "", ".stick_area", 0.3, 10},
                               Published{"adhesive", "", "fracture_energy_opening", 0.01, 0.4},
                               Published{"adhesive", "", "fracture_energy_sliding", 0.01, 1}};

const Published* published_of(std::string_view kind, std::string_view name, std::string_view key) {
  if (kind == "bond to a wall") kind = "adhesive";
  for (const Published& entry : published)
    if (entry.kind == kind && name.starts_with(entry.names) && key.ends_with(entry.key)) return &entry;
  return nullptr;
}

/// Lies within `times` of what is published.
bool within(const Published& range, double value, double times) {
  return value >= range.low / times && value <= range.high * times;
}

/// ": is 9 GPa meant? Write 9000" where another unit explains the value.
std::string unit_meant(const Published& range, double value, const std::string& unit) {
  struct Slip {
    std::string_view unit, meant;
    double factor;
  };
  constexpr std::array slips{Slip{"MPa", "GPa", 1e3},      Slip{"MPa", "Pa", 1e-6},
                             Slip{"N/mm", "J/m2", 1e-3},   Slip{"mm", "um", 1e-3},
                             Slip{"-", "%", 1e-2},         Slip{"mW/cm2", "W/cm2", 1e3},
                             Slip{"MPa/mm", "GPa/mm", 1e3}};
  for (const Slip& slip : slips)
    if (slip.unit == unit && value > 0 && within(range, slip.factor * value, 1))
      return fmt::format("; is {:g} {} meant? Then write {:g}", value, slip.meant, slip.factor * value);
  return "";
}

std::string range_text(const Published& range) {
  return range.high == open_end ? fmt::format("{:g} and more", range.low)
                                : fmt::format("{:g} to {:g}", range.low, range.high);
}

void check_value(const Published& range, const std::string& name, const std::string& key,
                 const ordered_json& entry, bool beyond_published, std::vector<std::string>& notes) {
  constexpr double refused = 10, noted = 3;
  const double value = entry.at("value");
  if (value == 0 || within(range, value, noted)) return;
  const std::string unit = entry.at("unit");
  const std::string sentence = fmt::format("{}: {} of {} is {:g} [{}]; published values of its kind are {}{}",
                                           entry.value("place", ""), key, name, value, unit,
                                           range_text(range), unit_meant(range, value, unit));
  if (!within(range, value, refused) && !beyond_published)
    throw CaseError(fmt::format(
        "{}. More than ten times beyond them is refused; materials.beyond_published = true lets a case do so",
        sentence));
  notes.push_back(sentence);
}

}  // namespace

void check_plausible(const std::string& kind, const std::string& name, const ordered_json& values,
                     bool beyond_published, std::vector<std::string>& notes) {
  for (const auto& [key, entry] : values.items()) {
    if (!entry.is_object() || !entry.contains("value") || !entry.at("value").is_number()) continue;
    if (const Published* range = published_of(kind, name, key))
      check_value(*range, name, key, entry, beyond_published, notes);
  }
}

namespace {

/// Two values that a class takes to be equal, of one substrate or several, and what parted them.
struct BrokenPair {
  std::string place;  ///< where the leading one was given
  std::string_view follows, leads;
  double given;
  std::vector<std::string> leaders, followers;  ///< dotted keys
  std::vector<double> kept;                     ///< by follower
};

std::string broken_pair_sentence(const BrokenPair& pair) {
  if (pair.kept.size() == 1)
    return fmt::format(
        "{}: {} is {:g} now, but {} stays {:g}, which its class took to be equal to it: give both",
        pair.place, pair.leaders.front(), pair.given, pair.followers.front(), pair.kept.front());
  const auto [low, high] = std::ranges::minmax(pair.kept);
  return fmt::format(
      "{}: {} is {:g} now on {} substrates, but {} stays {}, which the class took to be equal to it on each: "
      "give both",
      pair.place, pair.leads, pair.given, pair.kept.size(), pair.follows,
      low == high ? fmt::format("{:g}", low) : fmt::format("{:g} to {:g}", low, high));
}

}  // namespace

void note_broken_pairs(const ordered_json& values, std::vector<std::string>& notes) {
  struct Pair {
    std::string_view follows, leads, says;
  };
  constexpr std::array pairs{Pair{"shear", "tensile", "equal to tensile"},
                             Pair{"fracture_energy_sliding", "fracture_energy_opening", "equal to opening"}};
  std::vector<BrokenPair> broken;
  for (const auto& [key, entry] : values.items())
    for (const Pair& pair : pairs) {
      if (!key.ends_with(fmt::format(".{}", pair.follows)) || !entry.contains("source")) continue;
      const std::string leader = key.substr(0, key.size() - pair.follows.size()) + std::string(pair.leads);
      if (!values.contains(leader) || !entry.at("source").get<std::string>().starts_with(pair.says)) continue;
      const ordered_json& lead = values.at(leader);
      if (lead.at("value") == entry.at("value")) continue;
      const std::string place = lead.value("place", "");
      const double given = lead.at("value").get<double>();
      auto same = std::ranges::find_if(broken, [&](const BrokenPair& other) {
        return other.place == place && other.leads == pair.leads && other.given == given;
      });
      if (same == broken.end())
        same = broken.insert(broken.end(), {place, pair.follows, pair.leads, given, {}, {}, {}});
      same->leaders.push_back(leader);
      same->followers.push_back(key);
      same->kept.push_back(entry.at("value").get<double>());
    }
  for (const BrokenPair& pair : broken) notes.push_back(broken_pair_sentence(pair));
}

}  // namespace setstress
