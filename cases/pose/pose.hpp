#pragma once
// From a Case to the Model that is solved: mesh, laws by region, substrate by bond facet, supports, timeline.

#include <functional>

#include "cases/file/case.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// Meshes with the case's own sizes and fills in the laws. Throws CaseError where the input is at fault (a
/// layout that misses the cavity, a surface that is not there), std::runtime_error when meshing fails.
Model pose(const Case& input);

/// The same on a mesh that was made before, for a case with the same geometry, layout and sizes.
Model pose(const Case& input, Mesh mesh);

/// Hears how many unknowns a mesh will have, about, before it is made.
using TellUnknowns = std::function<void(double unknowns)>;

/// The mesh alone. Throws as pose(), and CaseError where a run with it would not fit this machine's memory.
Mesh mesh_of(const Case& input, const TellUnknowns& tell = {});

/// What each bond facet sits on: enamel, dentin by the level of the facet's centroid, or a specimen's
/// fixture.
std::vector<Substrate> substrates_of(const Mesh& mesh, const DentinBands& bands);

}  // namespace setstress
