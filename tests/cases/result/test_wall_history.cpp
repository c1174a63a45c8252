// The worst instant and the highest percentile of a wall are two things, and a part is not the whole.

#include <catch2/catch.hpp>

#include "cases/result/history.hpp"

using namespace setstress;

namespace {

HistoryEntry at(double time, double placed, double share, double p95) {
  BondStatistics s{};
  s.area = 10, s.placed_area = placed, s.share_above_one = share, s.ratio.p95 = p95;
  HistoryEntry entry{};
  entry.time = time;
  entry.rows = {{"floor", std::nullopt, s}};
  return entry;
}

}  // namespace

TEST_CASE("the largest area at strength is the worst instant, the highest percentile another", "[cases]") {
  const History history{at(0, 3, 0.5, 2.6), at(1, 10, 0.2, 1.5), at(2, 10, 0.1, 1.8)};
  CHECK(worst_instant(history, 0) == 1);  // 2 mm2 of 10, against 1.5 of 3
  CHECK(highest_ratio(history, 0) == 2);
  CHECK(higher_while_part_filled(history, 0) == 0);
}

TEST_CASE("a part that bears less than the whole ever does is not told, one that never becomes whole is",
          "[cases]") {
  CHECK(!higher_while_part_filled({at(0, 3, 0, 0.5), at(1, 10, 0, 0.8)}, 0));
  const History half{at(0, 3, 0, 0.5), at(1, 3, 0, 0.8)};
  CHECK(!highest_ratio(half, 0));
  CHECK(higher_while_part_filled(half, 0) == 1);
}
