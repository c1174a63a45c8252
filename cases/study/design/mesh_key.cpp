#include "cases/study/design/mesh_key.hpp"

#include <fmt/format.h>

#include "cases/reader/checksum.hpp"

namespace setstress {

std::string mesh_key(const Case& input) {
  Checksum sum;
  sum.add(SETSTRESS_VERSION);
  const auto& resolved = input.source.resolved();
  for (const auto& [key, entry] : resolved.items())
    for (const char* part : {"tooth.", "preparation.", "specimen.", "mesh."})
      if (key.starts_with(part)) sum.add(key).add(entry.at("value").dump());
  for (const CuttingPlane& plane : input.plan.layout)
    for (const Eigen::Vector3d& vector : {plane.point, plane.normal})
      for (const double coordinate : vector) sum.add(fmt::format("{:a}", coordinate));
  return sum.text();
}

}  // namespace setstress
