#include "cases/run/run_settings.hpp"

#include "cases/file/read_case.hpp"
#include "cases/reader/data_folder.hpp"

namespace setstress {

Case case_for(const std::string& name_or_path, const RunSettings& settings) {
  Case input = read_case(find_case(name_or_path));
  if (settings.fineness) {
    const bool tied = input.mesh_size.tied_bond;
    input.mesh_size = read_fineness(*settings.fineness);
    input.mesh_size.tied_bond = tied;
  }
  if (settings.mode) input.solver.mode = *settings.mode;
  if (settings.solver) input.solver.linear_solver = *settings.solver;
  input.solver.threads = settings.threads;
  return input;
}

}  // namespace setstress
