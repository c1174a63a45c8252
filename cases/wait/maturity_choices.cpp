#include "cases/wait/maturity_choices.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <toml++/toml.h>
#include <algorithm>
#include <set>

#include "cases/library/material_values.hpp"

namespace setstress {

namespace {

constexpr const char* own_name = "of-the-case";

/// The law of that name as a case file gets it that says no more than the name.
MaturityLaw usual_law(const std::string& name) {
  auto table = std::make_shared<toml::table>();
  table->insert("law", name);
  return read_maturity(Section({table}), {}).law;
}

bool same_law(const MaturityLaw& a, const MaturityLaw& b) {
  return std::equal(
      a.points().begin(), a.points().end(), b.points().begin(), b.points().end(),
      [](const auto& p, const auto& q) { return p.time == q.time && p.maturity == q.maturity; });
}

bool same_laws(const std::map<Substrate, MaturityLaw>& a, const std::map<Substrate, MaturityLaw>& b) {
  return std::all_of(a.begin(), a.end(),
                     [&](const auto& entry) { return same_law(entry.second, b.at(entry.first)); });
}

MaturityChoice own(const Case& input) {
  const std::map<Substrate, MaturityLaw>& laws = input.materials.adhesive.strength_maturity;
  std::set<std::string> names;
  for (const auto& [substrate, law] : laws) {
    std::string name = law.name();
    std::replace(name.begin(), name.end(), ' ', '-');
    names.insert(name);
  }
  return {fmt::format("of the case ({})", fmt::join(names, ", ")), laws};
}

}  // namespace

std::vector<std::string> maturity_choice_names() {
  return {own_name, "chairside-rule", "ten-minute-pair", "mature-at-once"};
}

std::vector<MaturityChoice> maturity_choices(const Case& input, const std::vector<std::string>& names) {
  const std::vector<std::string> known = maturity_choice_names();
  std::vector<MaturityChoice> choices;
  for (const std::string& name : names) {
    if (std::find(known.begin(), known.end(), name) == known.end())
      throw CaseError(fmt::format("--law is \"{}\"; must be one of: {}", name, fmt::join(known, ", ")));
    if (name == own_name) {
      choices.push_back(own(input));
      continue;
    }
    MaturityChoice choice{name, {}};
    for (const auto& [substrate, law] : input.materials.adhesive.strength_maturity)
      choice.strength.emplace(substrate, usual_law(name));
    const bool repeated = std::any_of(choices.begin(), choices.end(), [&](const MaturityChoice& other) {
      return same_laws(choice.strength, other.strength);
    });
    if (!repeated) choices.push_back(std::move(choice));
  }
  return choices;
}

}  // namespace setstress
