#pragma once
// In what two results differ besides what came out: the way the filling is placed, and everything else that
// can have made the difference.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace setstress {

/// A result as its folder holds it: summary.json and manifest.json.
struct ResultRecord {
  nlohmann::ordered_json summary, manifest;
};

/// One thing that the two have otherwise.
struct Difference {
  std::string group;                     ///< "light", "material values", "mesh", ...
  std::string name;                      ///< "duration", "flowable shrinkage volumetric"
  nlohmann::ordered_json first, second;  ///< null: that result has no such thing
  std::string unit;                      ///< "" for none
};

/// All but the placing (layers, their thickness, waits, placing times, delays of light): by group, in the
/// order in which they are told.
std::vector<Difference> what_differs(const ResultRecord& a, const ResultRecord& b);

/// Whether layers, waits, placing times and delays are the same.
bool placed_alike(const ResultRecord& a, const ResultRecord& b);

/// What it means for a comparison, then one sentence a group, which names four differences at most.
std::vector<std::string> differs_sentences(const std::vector<Difference>& differences, bool placed_alike,
                                           const std::string& first_name, const std::string& second_name);

}  // namespace setstress
