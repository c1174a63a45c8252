#pragma once
// Linear systems of many runs on one mesh, solved side by side.
//
// Conjugate gradients of every run go on together, an iteration at a time. What costs most is shared: one
// preconditioner for all, the two-level cycle of one run that leads (half-sweeps on all nodes, a factor on
// the corners), read once for all lanes, and the rows of tissues. What lanes have of their own, filling and
// bond, is applied element by element from a few moduli each and never assembled.

#include <memory>
#include <span>
#include <vector>

#include "solver/lanes/lane_data.hpp"

namespace setstress {

struct LaneOutcome {
  int iterations = 0;
  bool converged = false;  ///< by its own count, in single precision; look at the true residual
};

/// What all lanes of a system have in common until the next increment is placed. Rows and blocks row-major.
struct LaneEquations {
  std::vector<float> tissue_value;             ///< 9 a coupling of LaneMesh::tissue [N/mm]
  std::vector<float> free;                     ///< 3 a node: 1, or 0 where held, not placed or not coupled
  std::vector<std::int32_t> elements, facets;  ///< that are placed
};

/// The matrix that preconditions, by LaneMesh::rows: 9 a coupling, and 9 a row of inverse diagonal blocks.
struct LaneSweeps {
  std::vector<float> value, inverse;
};

class LaneSolver {
 public:
  virtual ~LaneSolver() = default;
  virtual void set_equations(LaneEquations equations) = 0;
  virtual void set_sweeps(const LaneSweeps& sweeps) = 0;
  virtual void set_factor(const LaneFactor& factor) = 0;
  /// By lane: numbers_of_element each [MPa]; 2 a facet, normal and shear stiffness [MPa/mm]. Empty: as they
  /// were.
  virtual void set_values(std::span<const std::span<const float>> moduli,
                          std::span<const std::span<const float>> bond) = 0;
  /// Solves A x = b of each lane to |b - A x| <= tolerance |b|, from x = 0, 3 numbers a node. Lanes whose b
  /// is empty are left out. A tolerance below what single precision can be trusted with is not aimed at:
  /// solve again for what is left. `x` as long as b.
  virtual std::vector<LaneOutcome> solve(std::span<const std::span<const double>> b,
                                         std::span<const double> tolerance, int most_iterations,
                                         std::span<const std::span<double>> x) = 0;
  /// That come from memory at least, where caches hold no more than what one row needs.
  [[nodiscard]] virtual double bytes_per_iteration() const = 0;
};

/// On one thread of the processor. `lanes` must be 8, 16 or 32 (std::invalid_argument).
std::unique_ptr<LaneSolver> make_lane_solver(std::shared_ptr<const LaneMesh> mesh, int lanes);

}  // namespace setstress
