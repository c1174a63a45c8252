#pragma once
// Numbers of the whole bond as the tables of a result tell them, so that a picture tells the same: averaged
// over a fixed length, where its own are those of facets, and of the whole bond, filled or not.

#include <filesystem>
#include <optional>

namespace setstress {

struct ToldNumbers {
  double at_strength = 0;  ///< share of the whole bond at its strength or softening [-]
  double debonded = 0;     ///< share of the whole bond [-]
  double largest_gap = 0;  ///< [um]
};

/// Of walls.csv at `time` [s]; empty where `folder` has no such table or nothing in it at that time.
std::optional<ToldNumbers> told_numbers(const std::filesystem::path& folder, double time);

/// Whether summary.json tells of some wall that its mesh is too coarse for percentiles and areas.
bool told_too_coarse(const std::filesystem::path& folder);

/// When the whole bond is at its worst [s], by summary.json: the largest area at strength, then the highest
/// 95th percentile. Empty where `folder` has no such summary.
std::optional<double> told_worst_time(const std::filesystem::path& folder);

}  // namespace setstress
