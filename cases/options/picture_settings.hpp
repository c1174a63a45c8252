#pragma once
// What the commands picture and film are asked for.

#include <optional>
#include <string>

namespace setstress {

struct PictureSettings {
  std::string show = "bond";            ///< bond, walls, cut, deformed, radiograph
  std::optional<std::string> field;     ///< ratio (unless given), strength-lost, gap: of bond and walls
  std::string at;                       ///< worst, end, or a time; empty: as the picture has it
  std::string background = "white";     ///< white, dark, transparent
  std::string size;                     ///< "1800", "1800x1000"; empty: as the picture has it
  std::optional<std::string> axis;      ///< normal of the cut; y unless given
  std::optional<double> position;       ///< of the cut along it [mm]
  std::optional<double> magnification;  ///< of the deformation
  std::optional<double> scale_top;      ///< upper end of the scale
  std::optional<std::string> beam;      ///< of a radiograph; bitewing unless given
  std::optional<double> tilt;           ///< of its beam [degrees]
  int frames_per_second = 20;           ///< of a film
};

}  // namespace setstress
