#pragma once
// What the two-level solver knows of a graph before it has seen any values.

#include "solver/linear/coarse/coarse_level.hpp"
#include "solver/linear/sweep/sweep_matrix.hpp"
#include "solver/linear/sweep/sweep_order.hpp"

namespace setstress {

/// Orders, patterns and the analysis of the coarse matrix. Never changes, so that solvers may share it, from
/// several threads too. The graph must outlive it.
struct TwoLevelStructure {
  explicit TwoLevelStructure(const NodeGraph& graph_,
                             int most_factorised = CoarseLevel::corners_worth_a_factor)
      : graph(&graph_),
        order(make_sweep_order(graph_)),
        pattern(graph_, order),
        coarse(graph_, order, most_factorised) {}
  TwoLevelStructure(const TwoLevelStructure&) = delete;  // parts point to each other
  TwoLevelStructure& operator=(const TwoLevelStructure&) = delete;

  const NodeGraph* graph;
  SweepOrder order;
  SweepPattern pattern;
  CoarseLevel coarse;  ///< without values, to be copied
};

}  // namespace setstress
