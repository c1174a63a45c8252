#pragma once
// Parallel rays through bodies and gaps: how far each runs through what.

#include <Eigen/Core>
#include <string>
#include <vector>

#include "viz/files/result_reader.hpp"

namespace setstress::viz {

/// A parallel beam and the axes of the picture it throws, each of length 1 [-].
struct Beam {
  Eigen::Vector3d along, right, up;
};
/// Where the beam comes from, before it is tilted: "bitewing" level and along y, "mesio-distal" level
/// and against x, "occlusal" down along the tooth. `tilt` [degrees] turns it about the picture's axis to the
/// right; above 0 a level beam points downwards. Throws std::invalid_argument for another name.
Beam beam_from(const std::string& name, double tilt);

/// Square pixels in rows from the bottom; the centre of the first lies half a pixel inside the corner.
struct PixelGrid {
  Eigen::Vector2d corner;  ///< along right and up [mm]
  double pixel;            ///< [mm]
  Eigen::Index columns, rows;
};
/// Pixels of this size [mm] around all points, and two more on each side.
PixelGrid grid_around(const std::vector<Eigen::Vector3d>& points, const Beam& beam, double pixel);

/// By pixel, a row of the picture in a row of the array.
using Image = Eigen::ArrayXXd;

/// Length [mm] of the ray through each pixel's centre in the tetrahedra of `volume` whose `region` is the one
/// asked for, straight edges, undeformed; exact.
Image lengths_in_region(const VolumeCells& volume, int region, const Beam& beam, const PixelGrid& grid);

/// Along each pixel's rays the length in gaps [mm] times `per_length` of the triangle, mean over the pixel.
/// Each triangle of the bond carries a prism as high as its `gap` [mm], on the filling's side, that is thrown
/// onto the pixels it covers: the volume in the picture is the volume of the gaps however the beam meets
/// them.
Image sum_over_gaps(const BondSurface& bond, const Eigen::VectorXd& gap, const Eigen::VectorXd& per_length,
                    const Beam& beam, const PixelGrid& grid);

}  // namespace setstress::viz
