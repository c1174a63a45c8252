#pragma once
// What is kept of a run while somebody solves it: numbers of every step, and the summary they come to.

#include <memory>

#include "cases/run/runner.hpp"

namespace setstress {

class RunInNumbers {
 public:
  /// Of `input`, posed as `model`; both must outlive this. `light`: of its mesh.
  RunInNumbers(const Case& input, const Model& model, const LightPaths& light, StepWatch watch);
  ~RunInNumbers();

  /// For simulate(): the next step. Hands it on to `watch`.
  bool see(const Frame& frame, const Progress& at);
  /// Once it has ended. Throws std::runtime_error where a number is none.
  [[nodiscard]] SolvedCase ended(Outcome outcome);

 private:
  struct Observers;
  const Case& input_;
  const Model& model_;
  StepWatch watch_;
  std::unique_ptr<Observers> observers_;
  SolvedCase solved_;
};

}  // namespace setstress
