#include "cases/result/manifest.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <chrono>
#include <fstream>

#include "viz/files/result_reader.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

using nlohmann::ordered_json;

namespace {

ordered_json solver_json(const SolveOptions& o) {
  return {{"mode", o.mode == Mode::intact ? "intact" : "debonding"},
          {"linear_solver", o.linear_solver == LinearSolver::direct ? "direct" : "two-level"},
          {"threads", o.threads},
          {"largest_conversion_step", o.largest_conversion_step},
          {"largest_time_step_s", o.largest_time_step},
          {"viscous_time_s", o.viscous_time},
          {"largest_softening_step", o.largest_softening_step},
          {"equilibrium_tolerance", o.equilibrium_tolerance},
          {"linear_tolerance", o.linear_tolerance},
          {"most_linear_iterations", o.most_linear_iterations}};
}

ordered_json mesh_json(const MeshSize& size, const Mesh& mesh) {
  return {{"size_at_bond_mm", size.bond},         {"largest_in_filling_mm", size.filling},
          {"largest_elsewhere_mm", size.far},     {"tied_bond", size.tied_bond},
          {"tetrahedra", mesh.tetrahedra.size()}, {"bond_facets", mesh.bond.size()},
          {"nodes", mesh.nodes.size()},           {"unknowns", mesh.unknowns()}};
}

ordered_json timings_json(const Timings& t) {
  return {{"total_s", t.total},
          {"assembly_s", t.assembly},
          {"solver_setup_s", t.setup},
          {"linear_solve_s", t.linear_solve},
          {"bond_update_s", t.bond_update},
          {"cure_s", t.cure},
          {"frames_s", t.frames},
          {"steps", t.steps},
          {"rejected_steps", t.rejected_steps},
          {"equilibrium_iterations", t.equilibrium_iterations},
          {"linear_solves", t.linear_solves},
          {"linear_iterations", t.linear_iterations},
          {"most_linear_iterations", t.most_linear_iterations},
          {"direct_fallbacks", t.direct_fallbacks},
          {"coarse_factorisations", t.coarse_factorisations}};
}

ordered_json made_of_json(const Case& input) {
  ordered_json files = ordered_json::array();
  for (const SourceFile& file : input.made_of)
    files.push_back({{"file", file.path}, {"fnv1a_64", file.checksum}});
  return files;
}

}  // namespace

ordered_json manifest_of(const Case& input, const Mesh& mesh, const Outcome& outcome) {
  const std::time_t now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
  return {{"program", "setstress"},
          {"version", SETSTRESS_VERSION},
          {"written", fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(now))},
          {"finished", outcome.finished},
          {"interrupted", !outcome.finished},
          {"case", input.name},
          {"title", input.title},
          {"notes", input.notes},
          {"invented", input.invented},
          {"caution", caution_line},
          {"made_of", made_of_json(input)},
          {"inputs", input.source.resolved()},
          {"materials", input.materials.provenance},
          {"solver", solver_json(input.solver)},
          {"mesh", mesh_json(input.mesh_size, mesh)},
          {"timings", timings_json(outcome.timings)},
          {"warnings", outcome.warnings}};
}

ordered_json read_manifest(const std::filesystem::path& folder) {
  std::ifstream file(folder / ResultLayout::manifest);
  ordered_json manifest = ordered_json::parse(file, nullptr, false);
  bool is_whole = manifest.is_object() && manifest.contains("version") && manifest.at("version").is_string();
  for (const char* key : {"inputs", "materials", "solver", "mesh"})
    is_whole = is_whole && manifest.contains(key) && manifest.at(key).is_object();
  if (!is_whole)
    throw CaseError(
        fmt::format("{} holds no readable {}; run the case again", folder.string(), ResultLayout::manifest));
  return manifest;
}

}  // namespace setstress
