#include "mesh/geometry/mesh_size.hpp"

#include <fmt/format.h>

#include <stdexcept>

namespace setstress {

MeshSize fineness(double bond_size) {
  if (!(bond_size > 0))
    throw std::invalid_argument(fmt::format("mesh.bond_size is {} mm; must be greater than 0", bond_size));
  return {.bond = bond_size, .filling = 1.5 * bond_size, .far = 3.85 * bond_size};
}

MeshSize fineness(const std::string& name) {
  if (name == "coarse") return fineness(1.2);
  if (name == "standard") return fineness(0.44);
  if (name == "fine") return fineness(0.24);
  throw std::invalid_argument(fmt::format("mesh.fineness is '{}'; must be coarse, standard or fine", name));
}

}  // namespace setstress
