#include "cases/result/finite_check.hpp"

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>

namespace setstress {

namespace {

void require(double value, double time, const std::string& what) {
  if (std::isfinite(value)) return;
  throw std::runtime_error(
      fmt::format("at {:g} s {} came out as no finite number; values of the case lie too far apart for one "
                  "calculation: look for moduli, stiffnesses or rates that are very large or very small",
                  time, what));
}

void require_energies(const Energies& e, double time) {
  for (const double energy : {e.shrinkage_work, e.load_work, e.elastic_tooth, e.elastic_filling,
                              e.elastic_bond, e.elastic_support, e.set_in, e.fracture, e.viscous})
    require(energy, time, "an energy");
}

}  // namespace

void require_finite(const HistoryEntry& entry, const Frame& frame) {
  require(frame.displacement.sum(), entry.time, "a displacement");
  require_energies(entry.energies, entry.time);
  for (const Eigen::Vector3d& reaction : entry.reactions)
    require(reaction.sum(), entry.time, "a force of a support");
  for (const WallRow& row : entry.rows) {
    const BondStatistics& s = row.statistics;
    if (!(s.placed_area > 0)) continue;
    for (const double value :
         {s.normal_traction.mean, s.normal_traction.p95, s.shear_traction.mean, s.shear_traction.p95,
          s.ratio.mean, s.ratio.p95, s.largest_gap, s.conversion_mean})
      require(value, entry.time,
              fmt::format("a number of the bond ({}, {})", wall_name(row), substrate_name(row)));
  }
  for (const TensileStress& body : entry.tensile) require(body.p99, entry.time, "the stress in " + body.body);
}

void require_finite_energies(const History& history, double largest_energy_error) {
  require(largest_energy_error, history.back().time, "the error of the energy account");
}

}  // namespace setstress
