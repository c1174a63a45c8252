#pragma once
// What a mesh must hold for percentiles and areas at strength to be told.

namespace setstress {

/// Fewest facet points that a stress is averaged over for percentiles and areas at strength to be told: with
/// fewer, the average is hardly one, and they follow the mesh. A choice; elements of 0.44 mm have 7 or more.
inline constexpr double fewest_averaging_points = 5;

}  // namespace setstress
