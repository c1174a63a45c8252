#pragma once
// Fluid that enclosed gaps hold: pressures, what moved through dentin and how fast, by bite and gap.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cases/result/gap_report.hpp"

namespace setstress {

inline constexpr const char* fluid_table_name = "gap_fluid.csv";

/// Mean speed of fluid in open dentin at the threshold of pain, out of the pulp and towards it [um/s = nL/(s
/// mm2)] (Charoenlarp 2007, Arch Oral Biol: open etched dentin of 16 premolars): to hold numbers beside, no
/// verdict on a person.
inline constexpr double pain_outward = 3.29, pain_to_pulp = 5.75;

/// One line an instant and enclosed gap that holds fluid, as comma-separated values with units in the
/// heading.
std::string fluid_table(const std::vector<GapInstant>& instants);

/// What `gap_fluid` in summary.json holds. A bite's numbers go from its start to that of the next. The model
/// must have a gap_fluid.
nlohmann::ordered_json fluid_json(const Model& model, const std::vector<GapInstant>& instants);

}  // namespace setstress
