#pragma once
// Whether there is energy enough for a bond that has reached its strength to come off.

#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cases/result/history.hpp"

namespace setstress {

/// Elastic energy in tooth, filling, bond and supports [mJ].
double stored_energy(const Energies& energies);

/// By wall, and "all" for their sum: what parting the bond that is placed takes at `time` [mJ]; `rows` of
/// that instant.
std::map<std::string, double> parting_energies(const Model& model, const std::vector<WallRow>& rows,
                                               double time);

/// Of each wall and of the whole bond ("all") in a run whose bond is assumed to hold: the highest of the
/// elastic energy stored in tooth, filling, bond and supports over the energy that parting all of it that is
/// placed takes at that instant (the lesser of opening and sliding, aged as strength is), and when. A crack
/// that runs while nothing else moves gets no more than what is stored (Griffith's balance, as a bound):
/// below 1 it cannot take the whole wall at one go. Above 1 it may or may not. Null for a bond that may let
/// go, which has spent some, and where toughness varies along the bond.
nlohmann::ordered_json energy_bound_json(const Model& model, const History& history);

}  // namespace setstress
