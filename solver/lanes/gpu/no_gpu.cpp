// Built without a GPU's compiler.

#include <stdexcept>

#include "solver/lanes/gpu/gpu_lane_solver.hpp"

namespace setstress {

std::string why_no_gpu() {
  return "this program was built for the processor alone (SETSTRESS_CUDA is off)";
}

double gpu_copy_rate() {
  throw std::runtime_error("no GPU can be used: " + why_no_gpu());
}

std::unique_ptr<LaneSolver> make_gpu_lane_solver(std::shared_ptr<const LaneMesh>, int) {
  throw std::runtime_error("no GPU can be used: " + why_no_gpu());
}

}  // namespace setstress
