#pragma once
// What the draws say, wall by wall: worked out once, told in many ways.

#include <optional>
#include <string>
#include <vector>

#include "cases/odds/deciding.hpp"
#include "cases/odds/indices.hpp"
#include "cases/odds/odds.hpp"

namespace setstress {

/// One wall under one measure.
struct WallOdds {
  PairedOdds odds;
  std::vector<Deciding> deciding;       ///< rank correlations
  std::optional<InputIndices> indices;  ///< where the draws allow any
  std::optional<Cut> cut;
};

struct JudgedOdds {
  Odds odds;
  InputColumns columns;
  std::vector<std::vector<std::optional<WallOdds>>> walls;  ///< by measure, then wall; empty: no draw has it
};

JudgedOdds judged(Odds odds);

/// "no difference in any draw", "\"layers\" is lower more often than not", ...
std::string verdict(const Odds& odds, const PairedOdds& paired);
/// "lower in \"layers\" in 40 of 64 draws: 62 %, 95 % interval 50 % to 74 %"
std::string how_often(const Odds& odds, const PairedOdds& paired);
/// "+0.12", "-3.0 %"
std::string difference_text(double value, const WhyMeasure& measure);

}  // namespace setstress
