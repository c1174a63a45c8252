#include "solver/gaps/closed_surfaces.hpp"

namespace setstress {

std::set<std::string> closed_surfaces(const Model& model) {
  std::set<std::string> names;
  for (const FixedSurface& fixed : model.fixed)
    if (fixed.meeting.empty()) names.insert(fixed.surface);
  return names;
}

}  // namespace setstress
