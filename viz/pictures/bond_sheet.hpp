#pragma once
// Private to viz/: a page of panels, each the bond of one result at one instant in space and as the opened
// box, all with one scale and one viewpoint.

#include <memory>
#include <optional>

#include "viz/drawing/vector_page.hpp"
#include "viz/pictures/pictures.hpp"
#include "viz/scenes/bond_scene.hpp"
#include "viz/scenes/cut_scene.hpp"

namespace setstress::viz {

/// One bond at one instant, with what is said above it.
struct Panel {
  BondSurface bond;
  OpenedBox opened;
  std::string heading, detail;
  std::optional<CutScene> cut;  ///< of an animation: the filling as it sets
};
/// `when` comes before the time in the heading. Throws std::runtime_error if the frame has no file of the
/// bond. What `same_result` has opened flat already is not opened again.
Panel make_panel(const Result& result, std::size_t frame, const std::string& when,
                 const Panel* same_result = nullptr);

/// What panels share, so that they can be compared.
struct CommonView {
  Viewpoint viewpoint;
  std::array<Eigen::Vector2d, 2> extent;  ///< of the opened boxes [mm]
  double scale_top;                       ///< of the quantity shown
  std::optional<CutLook> cut;
};
/// A round number that leaves out the highest hundredth of the area, which belongs to re-entrant edges.
double scale_top_for(const BondSurface& bond, BondField field);
/// The scale ends at the highest that a panel asks for.
CommonView common_view(const std::vector<Panel>& panels, BondField field);

/// The clock of an animation.
struct Clock {
  std::string time;
  std::string jump;              ///< how far it has just jumped; empty for not
  double share;                  ///< of the animation that has passed [-]
  std::vector<double> jumps_at;  ///< shares of the animation at which it jumps
};

/// What stands beside the opened box.
enum class Beside { view_in_space, cut, nothing };

struct Sheet {
  std::string title;
  std::vector<std::string> column_names;  ///< empty for none
  std::vector<Panel> panels;              ///< row by row
  std::size_t columns;
  std::optional<Clock> clock;
  Beside beside = Beside::view_in_space;
};

/// Throw std::invalid_argument for options out of range.
void require_sensible(const PictureOptions& options);
void require_sensible(int width, std::optional<int> height);
void require_names(const std::vector<Result>& results, const std::vector<std::string>& names,
                   const char* picture);

/// What comes before the time in a heading: "At", "Worst instant:", "At the end:", "Stopped by the user at".
const char* words_for(const Result& result, std::size_t frame, std::optional<double> asked, Moment moment);
/// An instant after the name of its result, where there are several.
std::string named_instant(const std::string& name, const std::string& instant, std::size_t results);
/// Panels stand beside each other; three or more in rows of two, so that their text stays readable.
std::size_t columns_for(std::size_t panels);
std::size_t rows_for(std::size_t panels, std::size_t columns);
/// Two lines of text, the first large.
void add_heading(Drawing& drawing, double left, double y, double unit, const std::string& heading,
                 const std::string& detail);
/// Each result at the instants of `options`: in columns under their names, or, three or more at one instant,
/// in rows of two.
Sheet sheet_of(const std::vector<Result>& results, const std::vector<std::string>& names,
               const PictureOptions& options);
/// Height of the page in pixels that suits its width.
int natural_height(const Sheet& sheet, int width);
/// The page, ready to be saved. `options.scale_top` overrides the common one.
std::unique_ptr<Canvas> compose(const Sheet& sheet, const CommonView& common, const PictureOptions& options);
/// The same as shapes, with the opened boxes alone.
std::unique_ptr<VectorPage> compose_shapes(const Sheet& sheet, const CommonView& common,
                                           const PictureOptions& options);

}  // namespace setstress::viz
