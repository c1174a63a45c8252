#pragma once
// An intact run in numbers, kept for the cases that differ from it only in what does not act on displacements
// (solver/run/kept_bond.hpp): they are judged instead of solved.

#include "cases/run/runner.hpp"
#include "solver/run/kept_bond.hpp"

namespace setstress {

class KeptRun {
 public:
  /// Solves `input`, posed as `model`, which must be intact; one that `watch` stops serves nobody. Throws as
  /// solve_case().
  KeptRun(const Case& input, const Model& model, const SharedMesh& shared, const StepWatch& watch);
  /// Of a run that is about to be made by somebody else, who shows its frames and, once it is whole, what
  /// came of it.
  KeptRun(const Case& input, const Model& model);
  void add(const Frame& frame) { bond_.add(frame); }
  void close(SolvedCase solved) { first_ = std::move(solved); }

  [[nodiscard]] bool serves(const Case& input, const Model& model) const {
    return bond_.serves(model, input.solver);
  }
  [[nodiscard]] const KeptBond& bond() const { return bond_; }
  /// What solve_case() gives for a case that this serves, to the last bit, but for its timings and for steps
  /// before the first increment, which are left out.
  [[nodiscard]] SolvedCase judged(const Case& input, const Model& model) const;

  [[nodiscard]] const SolvedCase& first() const { return first_; }  ///< that was solved
  [[nodiscard]] double seconds() const { return seconds_; }         ///< that took [s]

 private:
  KeptBond bond_;
  WallReport report_;  ///< of the mesh
  SolvedCase first_;
  double seconds_ = 0;
};

}  // namespace setstress
