#pragma once
// Single values of a material file: plain, or with unit, basis and source; and maturity laws by name.

#include <map>
#include <nlohmann/json.hpp>
#include <string>

#include "cases/reader/toml_reader.hpp"
#include "materials/bond.hpp"

namespace setstress {

/// Short names of sources and their full citations, as in [sources] of a material file.
using Citations = std::map<std::string, std::string>;

/// What a value rests on: "published", "derived", "from memory", "assumption", or "given" by the user.
struct SourcedNumber {
  double value;
  nlohmann::ordered_json provenance;  ///< value, unit, basis, source, place
};

/// `key` as a plain number, or as {value, unit, basis, source}. The unit, where given, must be that of
/// `allowed`. A source of one word must be among `citations`. Throws CaseError.
SourcedNumber read_sourced(const Section& section, std::string_view key, const Quantity& allowed,
                           const Citations& citations);

struct SourcedMaturity {
  MaturityLaw law;
  nlohmann::ordered_json provenance;  ///< law, points, basis, source, place
};

/// `law` with its parameters: chairside-rule (at_once), ten-minute-pair (ratio, at_once), mature-at-once, or
/// table (points = [[0, 0.4], [60, 0.7], ...], s and [-]). Unless given, at_once is 0.5 (assumption) and
/// ratio 0.69, the mean of the four systems whose change was significant in Price and Hall 1999, Quintessence
/// Int 30:122-134 (derived).
SourcedMaturity read_maturity(const Section& section, const Citations& citations);

}  // namespace setstress
