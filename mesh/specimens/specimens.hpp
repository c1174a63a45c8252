#pragma once
// Blueprints and checks of the specimens. Internal to mesh/.

#include "mesh/geometry/blueprint.hpp"
#include "mesh/geometry/geometry.hpp"

namespace setstress {

/// Throws GeometryError with a key such as "specimen.height".
void check_specimen(const Specimen& specimen);

/// Adds the specimen's solids to the open session's model.
Blueprint specimen_blueprint(const Specimen& specimen);

}  // namespace setstress
