#pragma once
// Both plans under one draw, or under many at once.

#include <memory>
#include <nlohmann/json.hpp>
#include <span>

#include "cases/odds/odds.hpp"
#include "cases/run/solve_together.hpp"
#include "cases/study/table/study_database.hpp"
#include "solver/run/shared_mesh.hpp"

namespace setstress {

/// One plan with what all of its draws share.
struct Plot {
  Case input;
  Mesh mesh;
  std::shared_ptr<const SharedMesh> shared;
};

/// Makes draws on one thread. All must outlive this.
class DrawRunner {
 public:
  /// `pairs`: mirror walls of both plans.
  DrawRunner(const Odds& odds, const Plot& first, const Plot& second, nlohmann::ordered_json pairs)
      : odds_(odds), first_(first), second_(second), pairs_(std::move(pairs)) {}

  [[nodiscard]] RunRecord run(int draw) const;
  /// Draws side by side on the machine of Odds, 32 at most on a processor, led by the first draw that can be;
  /// those that cannot follow are made alone. A GPU that fails is told of on standard error, and the
  /// processor takes over.
  [[nodiscard]] std::vector<RunRecord> run_together(const std::vector<int>& draws) const;

  /// Solutions that a draw is expected to take: as many as the first.
  [[nodiscard]] std::size_t solutions() const;
  /// That a draw of so many solutions is expected to take on one core [s], with `pace` as of OddsSettings.
  [[nodiscard]] double expected_seconds(std::size_t solutions, double pace) const;

 private:
  struct Drawn;
  [[nodiscard]] Case drawn(const Plot& plot, int draw) const;
  [[nodiscard]] std::unique_ptr<Drawn> posed(int draw) const;
  [[nodiscard]] std::pair<nlohmann::ordered_json, nlohmann::ordered_json> both(const Case& a,
                                                                               const Model& model_a,
                                                                               const Case& b,
                                                                               const Model& model_b) const;
  [[nodiscard]] std::unique_ptr<Drawn> leading() const;
  using Draws = std::vector<std::unique_ptr<Drawn>>;
  [[nodiscard]] Draws made_on(LaneMachine machine, const std::vector<int>& draws) const;
  void solve_first(const Drawn& leader, std::span<const std::unique_ptr<Drawn>> draws,
                   LaneMachine machine) const;
  void solve_second(const Drawn& leader, std::span<const std::unique_ptr<Drawn>> draws,
                    LaneMachine machine) const;
  [[nodiscard]] std::vector<double> numbers_of(const nlohmann::ordered_json& summary) const;
  void keep(const nlohmann::ordered_json& one, const nlohmann::ordered_json& other, RunRecord& record) const;

  const Odds& odds_;
  const Plot &first_, &second_;
  nlohmann::ordered_json pairs_;
};

}  // namespace setstress
