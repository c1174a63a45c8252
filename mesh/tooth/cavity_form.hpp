#pragma once
// The preparation in the tooth's coordinates: what its solid, its checks and the names of its walls are
// derived from. Internal to mesh/.

#include <optional>

#include "mesh/geometry/geometry.hpp"

namespace setstress {

/// How a wall rises from the floor: rounded line angle, taper, bevel. Heights are z [mm].
struct WallProfile {
  double floor, top;
  double taper;   ///< radians, positive where the cavity widens towards the top
  double radius;  ///< of the line angle [mm]
  double bevel;   ///< horizontal width of the 45 degree bevel [mm]

  /// How far the flat part of the floor stays inside the sharp line angle [mm]: the ball of the line angle
  /// touches floor and wall.
  [[nodiscard]] double inset() const;
  /// Offset of the wall's plane from the sharp line angle at height z, without the bevel [mm].
  [[nodiscard]] double offset(double z) const;
  /// The same at the top, bevel included [mm].
  [[nodiscard]] double top_offset() const;
};

/// Rectangle of the floor between sharp line angles [mm].
struct FloorRectangle {
  double x_min, x_max, y_min, y_max;
};

/// Box whose four walls follow one profile; its corners are rounded as by a tapered bur of the line angle's
/// radius, so that the box is the sweep of the bur over the flat part of the floor. Open sides reach out of
/// the tooth.
struct BoxForm {
  FloorRectangle rectangle;
  WallProfile profile;
};

/// Round cavity.
struct CylinderForm {
  double x, y;    ///< of the axis [mm]
  double radius;  ///< at the sharp floor [mm]
  WallProfile profile;
};

struct CavityForm {
  std::optional<BoxForm> box, step;
  std::optional<CylinderForm> cylinder;
  bool open_mesial = false, open_distal = false;
  double centre_y = 0;      ///< of the preparation [mm]
  double axial_x = 0;       ///< of the axial wall at the (gingival) floor [mm]; boxes open at one side only
  double step_axial_x = 0;  ///< of the axial wall at the pulpal floor [mm]; with step only
  double step_end_x = 0;    ///< of the step's end wall at the pulpal floor [mm]; with step only
};

/// Derives the form; nothing is checked.
CavityForm cavity_form(const Tooth& tooth, const Preparation& preparation);

}  // namespace setstress
