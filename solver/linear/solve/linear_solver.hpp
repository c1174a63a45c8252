#pragma once
// Symmetric positive definite systems on a NodeGraph, solved again and again with slowly changing values.

#include <Eigen/Core>
#include <memory>
#include <string>

#include "solver/linear/matrix/block_matrix.hpp"
#include "solver/linear/matrix/not_positive_definite.hpp"
#include "solver/linear/solve/flexible_gmres.hpp"

namespace setstress {

struct TwoLevelStructure;

struct LinearOutcome {
  int iterations = 0;            ///< 0 for the direct solver
  double relative_residual = 0;  ///< |b - A x| / |b|, of the x returned; see solve_corrected() for its own
  bool fell_back = false;        ///< the iterative solver gave up and the direct solver took over
  bool factorised = false;       ///< a (coarse) factorisation was renewed
};

/// Iterations after which solve_corrected() returns what it has.
inline constexpr int most_corrected_iterations = 40;

/// Keeps what is reusable between solves (orderings, factorisations, recent solutions).
class LinearSystemSolver {
 public:
  virtual ~LinearSystemSolver() = default;
  /// Solves A x = b to |b - A x| <= tolerance |b|, or to the last digits of A x where that is more. `x` holds
  /// the initial guess on entry, the solution on return. A must have a non-zero diagonal block at every node
  /// (held or unplaced degrees of freedom: a positive diagonal entry, zero couplings). Throws
  /// NotPositiveDefinite, or std::runtime_error, with the reason, when the tolerance cannot be reached.
  virtual LinearOutcome solve(const BlockMatrix& matrix, const Eigen::VectorXd& b, Eigen::VectorXd& x,
                              double tolerance) = 0;
  /// Takes over a matrix A, as for solve(), for the solve_corrected() calls that follow; it must stay until
  /// the next one. Throws NotPositiveDefinite.
  virtual void assign(const BlockMatrix& matrix) = 0;
  /// Solves (A + C) x = b from x = 0 to |b - (A + C) x| <= tolerance |b|, for a C that need be neither
  /// symmetric nor positive definite but couples only what A does. Newton's method can use an x that is not
  /// there yet: after 40 iterations (since the coarse factor was renewed, if that had to be; of the direct
  /// solver, if the iterative one has handed over) the best one is returned, and the outcome says how good it
  /// is: by the true residual for tolerances below 1e-3, else as the iterations have it, which products in
  /// single precision put off by 1e-5 to 1e-2.
  virtual LinearOutcome solve_corrected(const LinearMap& correction, const Eigen::VectorXd& b,
                                        Eigen::VectorXd& x, double tolerance) = 0;
  [[nodiscard]] virtual std::string name() const = 0;
  [[nodiscard]] virtual std::size_t bytes() const = 0;  ///< memory held, estimated
};

/// Two-level multigrid inside conjugate gradients: symmetric block Gauss-Seidel on all nodes in single
/// precision, Cholesky on the corner-node (first-order) level, renewed only when iterations ask for it, or,
/// where there are very many corners, cycles over aggregates of them; hands over to the direct solver after
/// `most_iterations`. The graph must outlive the solver.
std::unique_ptr<LinearSystemSolver> make_two_level_solver(const NodeGraph& graph, int most_iterations = 150);
/// The same on what is known of the graph already.
std::unique_ptr<LinearSystemSolver> make_two_level_solver(std::shared_ptr<const TwoLevelStructure> structure,
                                                          int most_iterations = 150);
/// CHOLMOD supernodal with METIS on the node graph, refactorised at every call: the reference path.
std::unique_ptr<LinearSystemSolver> make_direct_solver(const NodeGraph& graph);

}  // namespace setstress
