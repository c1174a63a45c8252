#pragma once
// What the parts of a shape are called, known before it is built.

#include <string>
#include <vector>

#include "mesh/geometry/geometry.hpp"

namespace setstress {

/// In alphabetical order. Of these a shape has all but what its sizes leave no room for, as its mesh tells;
/// it has no others.
struct ShapeNames {
  std::vector<std::string> surfaces;  ///< outer ones
  std::vector<std::string> walls;     ///< bonded ones
  std::vector<std::string> bodies;    ///< regions besides the increments
};

ShapeNames names_in(const Geometry& geometry);

}  // namespace setstress
