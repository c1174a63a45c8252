#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cases/commands/commands.hpp"
#include "cases/pose/pose.hpp"
#include "cases/run/run_settings.hpp"
#include "viz/files/vtk_files.hpp"

namespace setstress {

int mesh_command(const CommandLine& line) {
  const Case input = case_for(line.inputs.front(), line.settings);
  const std::filesystem::path file = line.out.empty() ? std::filesystem::path(input.name + ".vtu") : line.out;
  if (file.extension() != ".vtu" && file.extension() != ".msh")
    throw CaseError(fmt::format("--out is \"{}\"; a mesh file must end in .vtu or .msh", file.string()));
  const Mesh mesh = mesh_of(input);
  write_mesh(mesh, file);
  if (line.json) {
    const nlohmann::ordered_json report{{"file", file.string()},
                                        {"tetrahedra", mesh.tetrahedra.size()},
                                        {"nodes", mesh.nodes.size()},
                                        {"bond_facets", mesh.bond.size()},
                                        {"unknowns", mesh.unknowns()}};
    fmt::print("{}\n", report.dump(2));
  } else if (!line.quiet) {
    fmt::print("{}: {} tetrahedra, {} nodes ({} unknowns), {} bond facets\n", file.string(),
               mesh.tetrahedra.size(), mesh.nodes.size(), mesh.unknowns(), mesh.bond.size());
  }
  return 0;
}

}  // namespace setstress
