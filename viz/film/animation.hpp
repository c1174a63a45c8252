#pragma once
// The setting of a filling as a moving picture: placing, curing, waiting, with a clock that says where it
// jumps.

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "viz/drawing/background.hpp"
#include "viz/files/result_reader.hpp"

namespace setstress {

struct AnimationOptions {
  int width = 1600;            ///< pixels, 400 to 4000
  int frames_per_second = 20;  ///< 1 to 60
  double jump_from = 10;  ///< [s]; where neighbouring instants lie further apart the clock is said to jump
  double pause_at_jump = 1.2;                 ///< [s] of film
  double film_per_second = 0.15;              ///< [s] of film for a second of the case, between jumps
  Background background = Background::white;  ///< not transparent
  std::optional<double> scale_top{};          ///< upper end of the scale of ratios, > 1; left out: 2
  std::function<void(double)> progress{};  ///< told the share of the work that is done [-]; may throw to stop
};

/// Writes the setting of each result, in a column under its name, as `path` (.mp4, .webm, .gif, .apng): a cut
/// through tooth and filling, deformed and coloured by conversion, beside the opened box coloured by ratio.
/// Every result shows its last instant up to the common clock. Needs the program ffmpeg. Throws
/// std::invalid_argument for options out of range, std::runtime_error for missing files, a missing ffmpeg, or
/// a file that cannot be written.
void animate(const std::vector<Result>& results, const std::vector<std::string>& names,
             const std::filesystem::path& path, const AnimationOptions& options = {});

}  // namespace setstress
