#include "cases/library/material_values.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <limits>

namespace setstress {
namespace {

const std::vector<std::string> bases{"published", "derived", "from memory", "assumption", "given"};

/// The full citation of a source given by its short name, or the source as it stands.
std::string cited(const Section& section, const Citations& citations) {
  const std::string source = section.text("source", "");
  if (source.empty() || source.find(' ') != std::string::npos) return source;
  if (const auto found = citations.find(source); found != citations.end()) return found->second;
  std::vector<std::string> names;
  for (const auto& [name, citation] : citations) names.push_back(name);
  const auto guess = did_you_mean(source, names);
  section.fail("source",
               fmt::format("is \"{}\"{}; must be a short name listed in [sources], or the citation itself",
                           source, guess ? fmt::format(", is \"{}\" meant?", *guess) : ""));
}

/// Units are fixed; a file may state them, and must then state the right one.
void require_unit(const Section& section, const Quantity& allowed) {
  const std::string unit = section.text("unit", allowed.unit);
  if (unit != allowed.unit) {
    section.fail("unit", fmt::format("is \"{}\"; must be \"{}\", to which the value has to be converted",
                                     unit, allowed.unit));
  }
}

struct Parameter {
  std::string_view key;
  Quantity allowed;
  double fallback;
  const char* basis;  ///< of the fallback
  const char* source;
};

constexpr Parameter at_once{
    "at_once", {"-", 0, 1, true}, 0.5, "assumption", "no value right after curing was found"};
constexpr Parameter ratio{
    "ratio",
    {"-", 0.6, 1},
    0.69,
    "derived",
    "Price and Hall 1999, Quintessence Int 30:122-134: mean of the four systems whose change was "
    "significant"};

double read_parameter(const Section& section, const Parameter& parameter, const Citations& citations,
                      nlohmann::ordered_json& provenance) {
  SourcedNumber read{parameter.fallback,
                     {{"value", parameter.fallback},
                      {"unit", parameter.allowed.unit},
                      {"basis", parameter.basis},
                      {"source", parameter.source}}};
  if (section.has(parameter.key)) read = read_sourced(section, parameter.key, parameter.allowed, citations);
  provenance[std::string(parameter.key)] = read.provenance;
  return read.value;
}

MaturityLaw read_points(const Section& section) {
  constexpr Quantity time{"s", 0, std::numeric_limits<double>::infinity()}, maturity{"-", 0, 1, true};
  std::vector<MaturityLaw::Point> points;
  for (const auto& [t, m] : section.pairs("points", time, maturity)) points.push_back({t, m});
  return MaturityLaw::table(std::move(points));
}

MaturityLaw named_law(const std::string& name, const Section& section, const Citations& citations,
                      nlohmann::ordered_json& provenance) {
  const auto parameter = [&](const Parameter& p) {
    return read_parameter(section, p, citations, provenance);
  };
  if (name == "chairside-rule") return MaturityLaw::chairside_rule(parameter(at_once));
  if (name == "ten-minute-pair") {
    const double pair_ratio = parameter(ratio);
    return MaturityLaw::ten_minute_pair(pair_ratio, parameter(at_once));
  }
  if (name == "mature-at-once") return MaturityLaw::mature_at_once();
  return read_points(section);
}

/// Which key of a law decides whether it is possible, as far as it is given.
std::string key_at_fault(const Section& section, const std::string& law) {
  for (const auto& [key, of] : {std::pair{"points", "table"}, {"at_once", ""}, {"ratio", "ten-minute-pair"}})
    if (section.has(key) && (*of == '\0' || law == of)) return key;
  return "law";
}

/// What the law itself rests on, where the file does not say.
std::pair<std::string, std::string> grounds(const std::string& name) {
  if (name == "chairside-rule") return {"common practice", "common practice, no source"};
  if (name == "ten-minute-pair") return {"published", "Price and Hall 1999, Quintessence Int 30:122-134"};
  if (name == "mature-at-once") return {"published", "Sadek 2005, J Adhes Dent 7:297-302"};
  return {"given", ""};
}

}  // namespace

SourcedNumber read_sourced(const Section& section, std::string_view key, const Quantity& allowed,
                           const Citations& citations) {
  SourcedNumber read{};
  std::string basis = "given", source;
  if (section.is_table(key)) {
    const Section inner = section.top_section(key);
    read.value = inner.number("value", allowed);
    require_unit(inner, allowed);
    basis = inner.choice("basis", bases, basis);
    source = cited(inner, citations);
    if (basis == "published" && source.empty())
      inner.fail("source", "is missing; a value whose basis is \"published\" must say where");
  } else {
    read.value = section.number(key, allowed);
  }
  read.provenance = {{"value", read.value},
                     {"unit", allowed.unit},
                     {"basis", basis},
                     {"source", source},
                     {"place", section.place(key)}};
  return read;
}

SourcedMaturity read_maturity(const Section& section, const Citations& citations) {
  const std::string name =
      section.choice("law", {"chairside-rule", "ten-minute-pair", "mature-at-once", "table"});
  const auto [usual_basis, usual_source] = grounds(name);
  nlohmann::ordered_json provenance{{"law", name}};
  try {
    MaturityLaw law = named_law(name, section, citations, provenance);
    for (const auto& [time, maturity] : law.points()) provenance["points"].push_back({time, maturity});
    const std::string source = cited(section, citations);
    provenance["basis"] = section.has("basis") ? section.choice("basis", bases) : usual_basis;
    provenance["source"] = source.empty() ? usual_source : source;
    provenance["place"] = section.place("law");
    return {std::move(law), std::move(provenance)};
  } catch (const std::invalid_argument& error) {
    const std::string key = key_at_fault(section, name);
    section.fail(key, fmt::format("{}is not possible: {}", key == "law" ? "" : "of the law \"" + name + "\" ",
                                  error.what()));
  }
}

}  // namespace setstress
