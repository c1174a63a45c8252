#pragma once
// How much of the bond is in trouble at an instant, from the files of a result.

#include <array>
#include <filesystem>
#include <optional>
#include <vector>

#include "viz/files/result_reader.hpp"

namespace setstress {

/// Which instant of a result is shown where no time is given; `worst` as in worst_frame.
enum class Moment { worst_and_end, worst, end };

/// Shares of the bonded area that has been filled [-]; percentile of the stress-to-strength ratio by area.
struct BondState {
  double filled_area = 0;   ///< [mm2]
  double reached = 0;       ///< share where the bond strength is reached or the bond has let go
  double debonded = 0;      ///< share that has let go
  double percentile95 = 0;  ///< of the facet means of the ratio where the bond still holds [-]
};
BondState judge(const BondSurface& bond);
/// The same from a file, of which only what this takes is read.
BondState judge(const std::filesystem::path& bond_file);

/// The frame (index) of the worst instant that the summary tells (told_numbers.hpp). Where there is no
/// summary or no file of that instant, the frame with the largest area `reached` by its facets; where no
/// instant reaches the strength, the one with the largest 95th percentile, the earliest where several tie.
/// Throws std::runtime_error if no frame has a bond file.
std::size_t worst_frame(const Result& result);

/// The frame (index) nearest to `time` [s]; the later where two are equally near.
std::size_t frame_at(const Result& result, double time);

/// The frame (index) at `time` [s] where given, else at `moment` (`worst_and_end`: the end). Throws
/// std::invalid_argument for a time that the result does not reach.
std::size_t frame_for(const Result& result, std::optional<double> time, Moment moment);

/// Whether the run was stopped before its end, as far as the files of the bond tell.
bool stopped_early(const Result& result);

/// Value below which `share` of the weight lies; 0 for empty input.
double weighted_percentile(std::vector<std::array<double, 2>> value_and_weight, double share);

}  // namespace setstress
