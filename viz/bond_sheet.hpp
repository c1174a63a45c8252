#pragma once
// Private to viz/: a page of panels, each the bond of one result at one instant in space and as the opened
// box, all with one scale and one viewpoint.

#include <memory>
#include <optional>

#include "viz/bond_scene.hpp"

namespace setstress::viz {

/// One bond at one instant, with what is said above it.
struct Panel {
  BondSurface bond;
  OpenedBox opened;
  std::string heading, detail;
};
/// `when` comes before the time in the heading. Throws std::runtime_error if the frame has no file of the
/// bond.
Panel make_panel(const Result& result, std::size_t frame, const std::string& when);

/// What panels share, so that they can be compared.
struct CommonView {
  Viewpoint viewpoint;
  std::array<Eigen::Vector2d, 2> extent;  ///< of the opened boxes [mm]
  double scale_top;                       ///< of the stress-to-strength ratio
};
/// The scale ends at a round number that leaves out the highest hundredth of the area, which belongs to
/// re-entrant edges.
CommonView common_view(const std::vector<Panel>& panels);

/// The clock of an animation.
struct Clock {
  std::string time;
  std::string jump;              ///< how far it has just jumped; empty for not
  double share;                  ///< of the animation that has passed [-]
  std::vector<double> jumps_at;  ///< shares of the animation at which it jumps
};

struct Sheet {
  std::string title;
  std::vector<std::string> column_names;  ///< empty for none
  std::vector<Panel> panels;              ///< row by row
  std::size_t columns;
  std::optional<Clock> clock;
};

/// Throws std::invalid_argument for options out of range.
void require_sensible(const PictureOptions& options);
/// Height of the page in pixels that suits its width.
int natural_height(const Sheet& sheet, int width);
/// The page, ready to be saved. `options.scale_top` overrides the common one.
std::unique_ptr<Canvas> compose(const Sheet& sheet, const CommonView& common, const PictureOptions& options);

}  // namespace setstress::viz
