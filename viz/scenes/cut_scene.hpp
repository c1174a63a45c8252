#pragma once
// Private to viz/: a cut through tooth and filling in a view.

#include "viz/drawing/canvas.hpp"
#include "viz/drawing/scale.hpp"
#include "viz/surface/plane_cut.hpp"

namespace setstress::viz {

enum class CutField { principal_stress, conversion };

/// One cut with what is drawn on it.
struct CutScene {
  VolumeCells volume;
  PlaneCut cut;
  RegionNodeValues values;  ///< of the field; of the filling alone where that is conversion
};

/// `position` [mm] left out: through the middle of the filling. Throws std::runtime_error if the frame has no
/// file of the volume, std::invalid_argument for a plane that misses.
CutScene make_cut_scene(const Result& result, std::size_t frame, CutField field, int axis,
                        std::optional<double> position);

using Extent = std::array<Eigen::Vector2d, 2>;  ///< low and high corner [mm]

struct CutLook {
  Extent extent;         ///< what the view must hold
  double magnification;  ///< of the deformation; 0 for none
  Scale scale;
  double pixel;  ///< size of a design pixel
};

/// A round factor that shows the largest displacement as a twentieth of the tooth; 1 when nothing moves.
double magnification_for(const std::vector<const VolumeCells*>& volumes);
/// What all scenes take, deformed [mm].
Extent extent_of(const std::vector<const CutScene*>& scenes, double magnification);
/// "mesio-distal cut at y = 0.00 mm"
std::string name_of_cut(const PlaneCut& cut);
/// "deformation magnified 200 times"
std::string name_of_factor(double magnification);
/// What thin lines are; empty where nothing is deformed.
std::string name_of_thin_lines(double magnification);

/// With a bar of 1 mm; the shape before deformation as thin lines.
void draw_cut_scene(Canvas& canvas, const Box& box, const CutScene& scene, const CutLook& look);

}  // namespace setstress::viz
