#pragma once
// The run: from a Model to a sequence of Frames.

#include <functional>
#include <stdexcept>
#include <string>
#include <vector>

#include "solver/model/frame.hpp"
#include "solver/model/model.hpp"

namespace setstress {

class SharedMesh;

/// intact: no damage, stress-to-strength ratios only. debonding: the bond softens and lets go.
enum class Mode { intact, debonding };
enum class LinearSolver { two_level, direct };

struct SolveOptions {
  Mode mode = Mode::intact;
  LinearSolver linear_solver = LinearSolver::two_level;
  int threads = 0;                        ///< 0: all cores
  double largest_conversion_step = 0.04;  ///< of relative conversion, anywhere, per step [-]
  double largest_time_step = 60.0;        ///< [s]
  double viscous_time = 0.05;             ///< time constant of the debonding regularisation [s]
  double largest_softening_step = 0.25;   ///< of strength lost, anywhere, per step [-]
  double equilibrium_tolerance = 1e-6;    ///< out-of-balance over internal force, both as norms [-]
  double linear_tolerance = 1e-8;         ///< relative residual of each linear solve [-]
  /// Relative residual of a correction while the bond softens, at most [-]. A step may have several
  /// equilibria; from loose corrections two linear solvers may come to different ones. To compare them, make
  /// it tight.
  double loosest_correction = 0.1;
  int most_linear_iterations = 150;  ///< of the two-level solver; then the direct one takes over
  /// Instants, in order, to step to, so that runs can be compared step by step [s]; empty: steps are chosen.
  std::vector<double> instants = {};
  bool operator==(const SolveOptions&) const = default;
};

/// Where the seconds went, and what was done.
struct Timings {
  double assembly = 0, setup = 0, linear_solve = 0, bond_update = 0, cure = 0, frames = 0,
         total = 0;  ///< [s]
  int steps = 0, rejected_steps = 0, equilibrium_iterations = 0, linear_solves = 0, linear_iterations = 0;
  int most_linear_iterations = 0;  ///< in one solve
  int direct_fallbacks = 0;        ///< solves that the iterative solver handed to the direct one
  int coarse_factorisations = 0;
};

struct Progress {
  double time, end;  ///< simulated seconds
  double fraction;   ///< of the work, estimated [-]
  int step;
};

/// Called at every converged step; the frame is valid during the call only. Return false to stop after this
/// step (the run then ends early and says so).
using FrameSink = std::function<bool(const Frame&, const Progress&)>;

struct Outcome {
  bool finished = true;  ///< false: the sink asked to stop
  Timings timings;
  double largest_energy_error = 0;  ///< |work - sinks| / work over all steps [-]
  std::vector<std::string> warnings;
};

/// Solves the whole timeline. Frames come at t = 0, at each step and at every event. Throws
/// std::invalid_argument for a bad model and SolveError, with time and place, when equilibrium is not found.
Outcome simulate(const Model& model, const SolveOptions& options, const FrameSink& sink);
/// The same, to the last bit, for one of many runs on the same mesh (solver/run/shared_mesh.hpp). Throws
/// std::invalid_argument for a model with another mesh.
Outcome simulate(const Model& model, const SolveOptions& options, const FrameSink& sink,
                 const SharedMesh& shared);

struct SolveError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

}  // namespace setstress
