#pragma once
// What must be said beside numbers of the bond wherever they are shown: what the run assumes, what its mesh
// can give, what is chance.

#include <nlohmann/json_fwd.hpp>
#include <set>
#include <string>
#include <vector>

#include "cases/words/wall_numbers.hpp"

namespace setstress {

/// "too coarse for percentiles: elements of 1.2 mm, averaging over 0.3 mm holds 2.1 points" of a summary
/// whose mesh is; "" otherwise.
std::string coarse_mesh_sentence(const nlohmann::ordered_json& summary);
/// The same from what decides it: element size at the bond [mm], facet points averaged over [-].
std::string coarse_mesh_sentence(double element_size, double averaging_points);

/// "the bond is assumed to hold", "the bond may let go"; `mode` as in a summary.
std::string mode_in_words(const std::string& mode);

/// What a run in this mode can and cannot say, and what it rests on; lines for the end of a report.
/// `composites` of the runs and those of them that flow, by name.
std::string limits_of_mode(const std::string& mode, const std::set<std::string>& composites,
                           const std::set<std::string>& flowing);
/// The same of one summary.
std::string limits_of(const nlohmann::ordered_json& summary);

/// Of a bond that is assumed to hold: what energy says beside where strength is reached, and what that rests
/// on.
/// "" where no bound is known.
std::string energy_sentence(const std::vector<WallNumbers>& walls);
/// "at most 0.40 of", "up to 1.9 times": what is stored, set against what parting takes.
std::string energy_share_text(double bound);

/// "12 %", "<1 %", ">99 %".
std::string chance_text(double chance);

/// How strength varies along the bond of a summary, where it does; "" otherwise.
std::string strength_field_sentence(const nlohmann::ordered_json& summary);

/// "buccal and lingual walls, mirror images: which of the two lets go more is chance of the mesh"
std::string mirror_words(const WallNumbers& both);

/// Of a wall a part of which bore more than the whole ever does: that, and on how much; "" otherwise.
std::string part_filled_sentence(const WallNumbers& wall);

}  // namespace setstress
