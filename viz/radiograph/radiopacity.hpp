#pragma once
// How much of a beam each body of a result takes away, from the values its manifest holds.

#include <vector>

#include "viz/files/result_reader.hpp"

namespace setstress::viz {

/// By region of `volume`: mm of aluminium that take away as much as 1 mm of it [mm/mm]. Throws
/// std::runtime_error that names file and class where a class has no radiopacity, or the dentins have
/// several.
std::vector<double> radiopacities(const Result& result, const VolumeCells& volume);

}  // namespace setstress::viz
