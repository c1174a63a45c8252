#pragma once
// How many runs one core advances together, and on what.

#include <cstddef>
#include <string>

#include "solver/group/lane_machine.hpp"

namespace setstress {

inline constexpr int usual_lanes = 32, usual_gpu_lanes = 256;

/// How runs that may advance together are solved.
struct Lanes {
  int most = usual_lanes;  ///< runs at a time: 0 (each by itself), 8, 16 or 32; on a GPU multiples of 32
  LaneMachine machine = LaneMachine::processor;
};

/// As a command line says it: lanes "8", "16", ... "1024", "off", or nothing (as usual), device "cpu", "gpu"
/// or nothing (cpu). Where a GPU is asked for and there is none to use, says so in a sentence on standard
/// error and takes the processor. Throws CaseError where a processor is asked for more than it has.
Lanes lanes_from(const std::string& lanes, const std::string& device);

/// Lanes for so many runs: those that are not filled calculate with zeros.
int narrowest_lanes(std::size_t runs, LaneMachine machine);

/// Says on standard error that the GPU that was asked for is not used, and why.
void tell_of_processor(const std::string& why);

/// "processor" or "gpu".
std::string name_of(LaneMachine machine);

}  // namespace setstress
