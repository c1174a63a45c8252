#include <fmt/format.h>

#include <stdexcept>

#include "mesh/geometry.hpp"

namespace setstress {

MeshSize fineness(double bond_size) {
  if (!(bond_size > 0))
    throw std::invalid_argument(fmt::format("mesh.bond_size is {} mm; must be greater than 0", bond_size));
  return {.bond = bond_size, .filling = 1.4 * bond_size, .far = 4 * bond_size};
}

MeshSize fineness(const std::string& name) {
  if (name == "coarse") return fineness(0.7);
  if (name == "standard") return fineness(0.35);
  if (name == "fine") return fineness(0.2);
  throw std::invalid_argument(fmt::format("mesh.fineness is '{}'; must be coarse, standard or fine", name));
}

}  // namespace setstress
