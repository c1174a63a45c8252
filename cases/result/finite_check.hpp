#pragma once
// A result that holds a number that is none is no result.

#include "cases/result/history.hpp"

namespace setstress {

/// Throws std::runtime_error, naming instant and quantity, where `entry` or the displacements of `frame`, of
/// which it was made, hold an infinite number or none.
void require_finite(const HistoryEntry& entry, const Frame& frame);

/// The same for the largest relative error of the energy account of a whole run.
void require_finite_energies(const History& history, double largest_energy_error);

}  // namespace setstress
