#pragma once
// How fine a mesh is.

#include <string>

namespace setstress {

/// Element sizes [mm].
struct MeshSize {
  double bond = 0.44;      ///< along the bond
  double filling = 0.66;   ///< largest inside the filling
  double far = 1.7;        ///< largest away from the bond
  bool tied_bond = false;  ///< no duplicate nodes: filling and tooth share the bond's nodes
};
/// The named finenesses: coarse, standard (about 50,000 unknowns for the deep proximal box), fine. Throws
/// std::invalid_argument for other names.
MeshSize fineness(const std::string& name);
/// Sizes graded from one size along the bond [mm].
MeshSize fineness(double bond_size);

}  // namespace setstress
