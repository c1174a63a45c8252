#pragma once
// What two results do otherwise on their walls, in sentences. The direction is never presumed, and what the
// mesh, the mode or nearly nothing cannot tell is not told.

#include <optional>
#include <string>
#include <vector>

#include "cases/words/wall_numbers.hpp"

namespace setstress {

/// One side of a comparison.
struct ComparedSide {
  std::string name;                           ///< as it is called in sentences, in quotes
  std::vector<WallNumbers> walls;             ///< the same walls judged together on both sides
  bool coarse = false;                        ///< the mesh is too coarse for percentiles
  double end_time = 0;                        ///< [s] since the bond was cured
  double chair_time = 0;                      ///< [s]
  std::optional<double> top_conversion = {};  ///< highest of the top of an increment [-]
};

/// Where the load on the bond differs most, of runs in which the bond holds.
std::string load_sentence(const ComparedSide& a, const ComparedSide& b);

/// Where they differ most in what has let go; where that is alike, in what has begun to soften, in strength
/// lost, in gap, in this order; at last in load, where nothing has softened.
std::string letting_go_sentence(const ComparedSide& a, const ComparedSide& b);

/// How much of the whole bond reaches its strength, or has let go; "" where there is no number.
std::string whole_bond_sentence(const ComparedSide& a, const ComparedSide& b, bool debonding);

/// What is stored in either over what parting the whole bond takes, of a bond assumed to hold; "" where that
/// is not known.
std::string energy_sentence(const ComparedSide& a, const ComparedSide& b);

/// How old the bond is where the end is read; "" where it is as old in both.
std::string age_sentence(const ComparedSide& a, const ComparedSide& b);

std::string chair_sentence(const ComparedSide& a, const ComparedSide& b);

}  // namespace setstress
