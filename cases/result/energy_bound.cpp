#include "cases/result/energy_bound.hpp"

#include <algorithm>

namespace setstress {

double stored_energy(const Energies& e) {
  return e.elastic_tooth + e.elastic_filling + e.elastic_bond + e.elastic_support;
}

std::map<std::string, double> parting_energies(const Model& model, const std::vector<WallRow>& rows,
                                               double time) {
  std::map<std::string, double> energies;
  for (const WallRow& row : rows) {
    if (row.wall.empty() || !row.substrate) continue;
    const auto own = model.wall_bonds.find(row.wall);
    const auto& strengths = own == model.wall_bonds.end() ? model.adhesive.strength : own->second.strength;
    const BondStrength& bond = strengths.at(*row.substrate);
    const double toughness = std::min(bond.fracture_energy_opening, bond.fracture_energy_sliding) *
                             model.adhesive.strength_maturity.at(*row.substrate)(time);
    for (const std::string& part : {row.wall, std::string("all")})
      energies[part] += toughness * row.statistics.placed_area;
  }
  return energies;
}

namespace {

struct Highest {
  double ratio = -1, time = 0, stored = 0, needed = 0;
};

}  // namespace

nlohmann::ordered_json energy_bound_json(const Model& model, const History& history) {
  if (!model.strength_factors.empty()) return nullptr;
  std::map<std::string, Highest> highest;
  for (const HistoryEntry& entry : history)
    for (const auto& [part, energy] : parting_energies(model, entry.rows, entry.time)) {
      if (!(energy > 0)) continue;
      const double there = stored_energy(entry.energies);
      if (Highest& now = highest[part]; there / energy > now.ratio)
        now = {there / energy, entry.time, there, energy};
    }
  nlohmann::ordered_json parts = nlohmann::ordered_json::array();
  for (const auto& [part, now] : highest)
    parts.push_back({{"wall", part},
                     {"stored_over_needed", now.ratio},
                     {"time_s", now.time},
                     {"stored_mJ", now.stored},
                     {"needed_mJ", now.needed}});
  return parts;
}

}  // namespace setstress
