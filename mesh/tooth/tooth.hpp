#pragma once
// Tooth cases: checks, solids and names. Internal to mesh/.

#include "mesh/geometry/blueprint.hpp"
#include "mesh/tooth/cavity_form.hpp"

namespace setstress {

/// Refuses dimensions that cannot be. Throws GeometryError with a key such as "preparation.width".
void check_tooth_case(const ToothCase& tooth_case);

/// Adds tooth and cavity to the open session's model.
Blueprint tooth_blueprint(const ToothCase& tooth_case);

/// Name of the wall of a bond facet from its centroid [mm] and unit normal (tooth into filling). Facets of a
/// rounded line angle go half to the floor and half to the wall, or half to either wall.
std::string wall_name(const CavityForm& form, const Eigen::Vector3d& centroid, const Eigen::Vector3d& normal);

/// Name of an outer surface of a tooth case from centroid [mm], outward unit normal and region.
std::string tooth_surface_name(const Tooth& tooth, const CavityForm& form, const Eigen::Vector3d& centroid,
                               const Eigen::Vector3d& normal, const Region& region);

}  // namespace setstress
