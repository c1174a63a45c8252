#pragma once
// The lane solver on a GPU.

#include <string>

#include "solver/lanes/lane_solver.hpp"

namespace setstress {

/// Takes `lanes` in multiples of 32 (std::invalid_argument), and rows of one run of LaneMesh::run_start at
/// once: order them by color (coloring.hpp). Bits are others than a processor's. Throws std::runtime_error
/// where there is no GPU, or too little of its memory.
std::unique_ptr<LaneSolver> make_gpu_lane_solver(std::shared_ptr<const LaneMesh> mesh, int lanes);

/// A sentence's second half; empty: there is one.
std::string why_no_gpu();

/// Bytes a second that a copy within the GPU's memory reads and writes. Throws as above.
double gpu_copy_rate();

}  // namespace setstress
