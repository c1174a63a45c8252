#pragma once
// What holds and loads the body: held displacement components, springs to the ground, pressures.

#include <Eigen/Core>
#include <vector>

#include "solver/model/model.hpp"

namespace setstress {

/// One displacement component that is prescribed.
struct HeldComponent {
  int node, component;
  double value;  ///< [mm], reached after `ramp` [s]
  double ramp;
  int hold;  ///< position in Model::fixed of the first entry that holds it
};
/// Sorted by node and component, each once. Throws std::invalid_argument when two holds contradict each
/// other.
std::vector<HeldComponent> held_components(const Model& model);

/// Stiffness of one facet on a foundation: 6 nodes, 3 x 3 blocks [N/mm].
using Matrix18d = Eigen::Matrix<double, 18, 18>;
Matrix18d foundation_stiffness(const Mesh& mesh, const SixNodes& facet, const ElasticFoundation& foundation);

/// Nodal forces [N], 3 per node, of the pressures at `time` [s].
Eigen::VectorXd pressure_forces(const Model& model, double time);

/// The surface of that name; throws std::invalid_argument listing the names there are.
const Surface& surface_named(const Mesh& mesh, const std::string& name);

/// Share of a load that has been reached at `time`: linear up to `ramp`, then 1.
double ramp_share(double time, double ramp);

}  // namespace setstress
