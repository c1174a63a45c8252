#pragma once
// The finished state of a case solved by a general-purpose finite-element library (GetFEM) instead of ours:
// its own elements, quadrature, interface terms, assembly and sparse solver on the nodes of our mesh.

#include <Eigen/Core>
#include <array>
#include <vector>

#include "solver/model/frame.hpp"
#include "solver/model/model.hpp"

namespace setstress::testing {

/// As in a Frame. Units: mm, MPa.
struct PeerSolution {
  Eigen::VectorXd displacement;  ///< 3 per node of the mesh [mm]
  std::vector<std::array<Eigen::Vector3d, 6>>
      traction;  ///< by bond facet and facet point, on the tooth side [MPa]
  std::vector<std::array<Eigen::Matrix3d, 4>> stress;  ///< by tetrahedron and stress point [MPa]
};

/// Linear elasticity with one filling, set all through and stiff from the start, on the springs of a mature
/// film; holds at zero displacement, springs to the ground, pressures and free strains as in `model`. Throws
/// std::invalid_argument for a model that is more than that.
PeerSolution solve_with_peer(const Model& model);

}  // namespace setstress::testing
