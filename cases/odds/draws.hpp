#pragma once
// Everything uncertain about two cases, drawn: the same values for both, so that what they share cancels.

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "cases/file/case.hpp"

namespace setstress {

/// One thing that is drawn.
struct UncertainInput {
  Spread spread;
  std::string target;  ///< class of composite or wall that it is drawn for; "" for one for all
  std::string words;   ///< "shrinkage of flowable"
  std::string unit;    ///< "" for a factor or a choice
};

/// What is drawn for this pair: every spread that is one and acts in either. `walls` of both meshes. Throws
/// CaseError where the two give different spreads.
std::vector<UncertainInput> uncertain_inputs(const Case& first, const Case& second,
                                             const std::vector<std::string>& walls);

/// Values of each input in each of `count` independent draws, by draw, then input: factors, values in their
/// units, or positions of laws. The first draws of more are those of fewer. The same seed, the same draws.
std::vector<std::vector<double>> draw_values(const std::vector<UncertainInput>& inputs, int count,
                                             std::uint64_t seed);

/// How often a drawn value had to be cut to what is possible, by what was cut.
using Cuts = std::map<std::string, int>;

/// The case with the values of one draw; `walls` of its mesh. Adds to `cuts`.
Case drawn_case(const Case& input, const std::vector<UncertainInput>& inputs,
                const std::vector<double>& values, const std::vector<std::string>& walls, Cuts& cuts);

}  // namespace setstress
