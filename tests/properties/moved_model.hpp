#pragma once
// The same model seen in a mirror or turned: the same mesh, moved node by node.

#include <Eigen/Core>

#include "solver/model/frame.hpp"
#include "solver/model/model.hpp"

namespace setstress::testing {

/// `model` under the orthogonal map `map`, which must leave the z axis alone. In a mirror the corners 0 and 1
/// of every element and facet change places, so that volumes stay positive and normals keep their side.
/// Throws std::invalid_argument for a hold in some directions only.
Model moved(const Model& model, const Eigen::Matrix3d& map);

/// Largest differences of a frame of a model, moved by `map`, from a frame of the moved model.
struct MovedDifference {
  double displacement = 0;   ///< [mm]
  double traction = 0;       ///< [MPa]
  double conversion = 0;     ///< [-]
  double strength_lost = 0;  ///< [-]
};
MovedDifference difference(const Frame& frame, const Eigen::Matrix3d& map, const Frame& of_moved);

}  // namespace setstress::testing
