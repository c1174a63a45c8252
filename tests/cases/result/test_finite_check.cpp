// A number that is none, wherever it comes up in a run, ends it.

#include <catch2/catch.hpp>
#include <limits>

#include "cases/result/finite_check.hpp"

using namespace setstress;
using Catch::Matchers::Contains;

namespace {

constexpr double no_number = std::numeric_limits<double>::quiet_NaN();
constexpr double endless = std::numeric_limits<double>::infinity();

HistoryEntry sound_entry() {
  HistoryEntry entry{12.0, "light off", {}, {}, {}, {}, {Eigen::Vector3d(1, 2, 3)}, {}};
  WallRow row;
  row.statistics.placed_area = 1;
  entry.rows.push_back(row);
  return entry;
}

Frame sound_frame() {
  Frame frame;
  frame.displacement = Eigen::VectorXd::Constant(6, 1e-3);
  return frame;
}

}  // namespace

TEST_CASE("infinite numbers and none are found in displacements, energies, forces and on walls", "[cases]") {
  CHECK_NOTHROW(require_finite(sound_entry(), sound_frame()));
  Frame frame = sound_frame();
  frame.displacement[3] = no_number;
  CHECK_THROWS_WITH(require_finite(sound_entry(), frame), Contains("at 12 s a displacement"));
  HistoryEntry energies = sound_entry(), forces = sound_entry(), walls = sound_entry(),
               nothing_placed = sound_entry();
  energies.energies.elastic_filling = endless;
  CHECK_THROWS_WITH(require_finite(energies, sound_frame()), Contains("an energy"));
  forces.reactions[0].y() = no_number;
  CHECK_THROWS_WITH(require_finite(forces, sound_frame()), Contains("a force"));
  walls.rows[0].statistics.ratio.p95 = no_number;
  CHECK_THROWS_WITH(require_finite(walls, sound_frame()), Contains("a number of the bond"));
  nothing_placed.rows[0].statistics.placed_area = 0;
  nothing_placed.rows[0].statistics.ratio.p95 = no_number;
  CHECK_NOTHROW(require_finite(nothing_placed, sound_frame()));
}

TEST_CASE("an energy account without a number is no account", "[cases]") {
  CHECK_NOTHROW(require_finite_energies({sound_entry()}, 1e-4));
  CHECK_THROWS_WITH(require_finite_energies({sound_entry()}, no_number), Contains("energy account"));
}
