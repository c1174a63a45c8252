#include "cases/library/spreads.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace setstress {

namespace {

using Kind = SpreadField::Kind;

constexpr Quantity unit_free{"-", 0, 10};

const std::vector<SpreadField> known_spreads{
    {Kind::factor, "shrinkage", "shrinkage", unit_free},
    {Kind::factor, "modulus", "modulus", unit_free},
    {Kind::range, "exponent", "exponent of the modulus", unit_free},
    {Kind::range, "gel_point", "gel point", {"-", 0, 0.9}},
    {Kind::log_range, "flow_time", "relaxation time of set paste", {"s", 0, 1e7, true}},
    {Kind::factor, "attenuation", "attenuation", unit_free},
    {Kind::factor, "lamp_output", "lamp output", unit_free},
    {Kind::range, "lamp_distance", "distance of the lamp", {"mm", 0, 100}},
    {Kind::factor, "strength", "strength of tooth and operator", unit_free},
    {Kind::factor, "strength_of_wall", "strength", unit_free},
    {Kind::factor, "toughness", "toughness", unit_free},
    {Kind::laws, "maturity_law", "law of maturity", unit_free},
    {Kind::range, "at_once", "strength right after curing", {"-", 0, 0.7, true}},
    {Kind::range, "ten_minute_ratio", "ten-minute ratio", {"-", 0.6, 1}},
    {Kind::range, "film_thickness", "film thickness", {"mm", 0, 1, true}},
    {Kind::factor, "dentin_modulus", "modulus of dentin", unit_free},
    {Kind::range, "placing_delay", "delay in placing", {"s", 0, 1800}}};

void read_laws(const Section& s, Spread& spread) {
  if (s.has("laws")) {
    spread.laws = s.texts("laws");
    spread.weights.assign(spread.laws.size(), 1.0);
    if (spread.laws.empty())
      s.fail("laws", "is an empty list; must be of chairside-rule, ten-minute-pair, mature-at-once");
    for (const std::string& law : spread.laws)
      if (law != "chairside-rule" && law != "ten-minute-pair" && law != "mature-at-once")
        s.fail("laws",
               fmt::format("holds \"{}\"; must be of chairside-rule, ten-minute-pair, mature-at-once", law));
  }
  if (s.has("weights")) spread.weights = s.numbers("weights", {"-", 0, 1e6});
  if (spread.weights.size() != spread.laws.size())
    s.fail("weights", fmt::format("holds {} numbers for {} laws; give one each", spread.weights.size(),
                                  spread.laws.size()));
  if (!spread.weights.empty() &&
      std::ranges::none_of(spread.weights, [](double weight) { return weight > 0; }))
    s.fail("weights", "are all 0; one of them must be above 0");
}

void read_spread(const Section& s, const SpreadField& field, Spread& spread) {
  switch (field.kind) {
    case Kind::factor:
      spread.cov = s.number("cov", {"-", 0, 2}, spread.cov);
      break;
    case Kind::log_range:
      spread.logarithmic = true;
      [[fallthrough]];
    case Kind::range:
      spread.low = s.number("low", field.allowed, spread.low);
      spread.high = s.number("high", field.allowed, spread.high);
      if (spread.high < spread.low)
        s.fail("high",
               fmt::format("is {:g} [{}], below low = {:g}", spread.high, field.allowed.unit, spread.low));
      break;
    case Kind::laws:
      read_laws(s, spread);
  }
}

}  // namespace

bool Spread::operator==(const Spread& other) const {
  return of == other.of && cov == other.cov && low == other.low && high == other.high && laws == other.laws &&
         weights == other.weights;
}

bool Spread::is_drawn() const {
  const auto possible = std::ranges::count_if(weights, [](double weight) { return weight > 0; });
  return cov > 0 || high > low || possible > 1;
}

const std::vector<SpreadField>& spread_fields() {
  return known_spreads;
}

void read_spreads(const Section& section, const Citations& citations, std::vector<Spread>& spreads) {
  for (const SpreadField& field : known_spreads) {
    if (!section.has(field.of)) continue;
    const Section s = section.section(field.of);
    auto spread = std::ranges::find(spreads, field.of, &Spread::of);
    if (spread == spreads.end()) {
      spreads.push_back(
          {.of = std::string(field.of), .laws = {}, .weights = {}, .basis = {}, .source = {}, .place = {}});
      spread = spreads.end() - 1;
    }
    read_spread(s, field, *spread);
    spread->place = section.place(field.of);
    spread->basis = s.text("basis", "given");
    const std::string source = s.text("source", "");
    const auto citation = citations.find(source);
    spread->source = citation == citations.end() ? source : citation->second;
  }
}

}  // namespace setstress
