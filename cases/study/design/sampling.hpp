#pragma once
// Points in the unit cube: where a design asks for values of its factors.

#include <cstdint>
#include <vector>

namespace setstress {

/// Points by number, then coordinate, each in (0, 1).
using UnitPoints = std::vector<std::vector<double>>;

/// The first `count` points of the Sobol sequence after the origin, in the order of the Gray code, with the
/// direction numbers of Joe and Kuo 2008, SIAM J Sci Comput 30:2635-2654 (as in Boost.Random). Throws
/// std::invalid_argument for more dimensions than there are numbers for (3667).
UnitPoints sobol_points(int count, int dimensions);

/// One point at random within each of `count` slices of every coordinate, paired at random: McKay, Beckman
/// and Conover 1979, Technometrics 21:239-245. The same seed, the same points, on any machine.
UnitPoints latin_hypercube(int count, int dimensions, std::uint64_t seed);

/// Independent points. The same seed, the same points, on any machine.
UnitPoints random_points(int count, int dimensions, std::uint64_t seed);

}  // namespace setstress
