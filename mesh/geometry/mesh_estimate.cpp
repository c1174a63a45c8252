#include "mesh/geometry/mesh_estimate.hpp"

#include <algorithm>
#include <cmath>

namespace setstress {
namespace {

/// Growth of the element size per mm of distance from the bond [-], as the mesher has it.
constexpr double growth = 0.35;

// Fitted to the meshes that the header speaks of.
constexpr double per_element = 8;      ///< unknowns for each cube of element size
constexpr double per_surface = 596;    ///< unknowns for each square of it on a body's surface
constexpr double opening_outward = 3;  ///< what lies around a cavity widens with the distance from it

/// Integral over a body of 1 / (element size)^3 [-], sizes growing from the bond into it up to `largest`
/// [mm].
double cubes(double volume, double bond, double widening, const MeshSize& size, double largest) {
  largest = std::max(largest, size.bond);
  if (!(volume > 0)) return 0;
  if (!(bond > 0)) return volume / std::pow(largest, 3);
  const double slope = widening * std::sqrt(bond);  // area at distance d: bond + 2 slope d
  const double depth =
      slope > 0 ? (std::sqrt(bond * bond + 4 * slope * volume) - bond) / (2 * slope) : volume / bond;
  constexpr int layers = 1000;
  double sum = 0;
  for (int layer = 0; layer < layers; ++layer) {
    const double distance = (layer + 0.5) / layers * depth;
    const double local = std::clamp(size.bond + growth * (distance - 0.5 * size.bond), size.bond, largest);
    sum += (bond + 2 * slope * distance) * depth / layers / std::pow(local, 3);
  }
  return sum;
}

/// Squares of element size on the surface of a body that is about as long as it is wide [-].
double squares(double volume, double largest) {
  return std::pow(std::cbrt(volume) / largest, 2);
}

}  // namespace

double estimated_unknowns(const SolidSizes& solids, const MeshSize& size) {
  return per_element * (cubes(solids.filling, solids.bond, 0, size, size.filling) +
                        cubes(solids.rest, solids.bond, opening_outward, size, size.far)) +
         per_surface *
             (squares(solids.filling, std::max(size.bond, size.filling)) + squares(solids.rest, size.far));
}

}  // namespace setstress
