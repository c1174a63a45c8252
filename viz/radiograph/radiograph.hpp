#pragma once
// A radiograph of a filled tooth with its gaps, beside the same without and the difference.

#include "viz/drawing/background.hpp"
#include "viz/files/result_reader.hpp"
#include "viz/pictures/bond_state.hpp"

namespace setstress {

struct RadiographOptions {
  int width = 1500;             ///< pixels, 400 to 8000
  std::optional<int> height{};  ///< pixels; from the layout when left out
  Background background = Background::white;
  std::optional<double> time{};  ///< [s]; left out: `moment`
  Moment moment = Moment::end;   ///< worst_and_end: the end
  std::string beam = "bitewing";
  double tilt = 0;  ///< [degrees], see viz::beam_from
};

/// As PNG at `path`: line integrals of attenuation through tooth and filling, undeformed, less what the gaps
/// take away. Throws std::invalid_argument for options out of range, std::runtime_error when files or
/// radiopacities are missing or the picture cannot be written.
void draw_radiograph(const Result& result, const std::filesystem::path& path,
                     const RadiographOptions& options = {});

}  // namespace setstress
