#pragma once
// Boxes on one mesh, no two with one solution: what runs in lanes are measured with.

#include <vector>

#include "solver/bench/measure.hpp"
#include "solver/group/shared_equations.hpp"
#include "solver/group/simulate_together.hpp"
#include "solver/lanes/lane_system.hpp"
#include "solver/report/wall_report.hpp"

namespace setstress::bench {

/// Time of linear systems, their number, iterations and steps, added up.
void add(Timings& sum, const Timings& one);

/// The meshes that boxes are asked for, into files of this folder.
void write_meshes(const std::string& folder);

class LaneBoxes {
 public:
  /// The benchmark's run with other values of light, cure, filling and bond, on a mesh of this fineness (see
  /// fineness()), which is made, or found where `options` say.
  LaneBoxes(int boxes, const std::string& fineness, const Options& options);

  /// Runs `first` to before `end`, their timings added up.
  Timings together(std::size_t first, std::size_t end, int lanes, LaneMachine machine);
  /// One run by itself, on so many threads; `mean_ratio` as below.
  Timings alone(std::size_t run, double& mean_ratio, int threads = 1) const;
  /// A system at the end of a step, the matrix that of the box all others vary, the moduli those of each box.
  [[nodiscard]] LaneSystem system(LaneOrder order) const;

  [[nodiscard]] const Mesh& mesh() const { return base_.mesh; }
  [[nodiscard]] int boxes() const { return static_cast<int>(models_.size()); }
  /// By run: highest ratio of stress to strength, mean over the bond, where it ended.
  [[nodiscard]] const std::vector<double>& mean_ratio() const { return mean_ratio_; }

 private:
  [[nodiscard]] FrameSink judging(double& mean_ratio) const;

  Model base_;
  SharedMesh shared_{base_};
  WallReport report_{base_.mesh, base_.substrates};
  SolveOptions options_{.threads = 1};
  std::vector<Model> models_;
  std::vector<double> mean_ratio_;
};

}  // namespace setstress::bench
