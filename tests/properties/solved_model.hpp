#pragma once
// A random case, posed and solved.

#include <functional>

#include "cases/file/case.hpp"
#include "solver/run/simulate.hpp"
#include "tests/properties/random_case.hpp"

namespace setstress::testing {

struct Posed {
  Model model;
  SolveOptions options;
};
/// Reads the case file and meshes it, as the program does.
Posed posed(const RandomCase& c);

/// The last frame, and how the run went.
struct Solved {
  Frame end;
  Outcome outcome;
};
using EachFrame = std::function<void(const Frame&)>;
Solved solved(const Model& model, const SolveOptions& options, const EachFrame& each = {});

/// Area of the bond that has let go, and of all of it [mm2].
double debonded_area(const Model& model, const Frame& frame);
double bond_area(const Model& model);

/// Largest length of a traction on the bond, but at least 0.1 MPa, to measure differences against; and the
/// largest difference of two frames of the same mesh [MPa].
double traction_scale(const Frame& frame);
double largest_difference(const Frame& one, const Frame& other);

}  // namespace setstress::testing
