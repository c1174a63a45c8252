// Gaps on a bent sheet of bond, whose unfolded shape is a rectangle: areas, ways and throats are known.

#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "solver/gaps/gap_numbers.hpp"

using namespace setstress;

namespace {

/// Length 4 by width 2 mm, bent upwards by 90 degrees at 2 mm: "floor", then "axial". All of it placed.
struct BentSheet {
  static constexpr int cells = 20;  ///< over the width
  static constexpr double cell = 2.0 / cells;
  Mesh mesh;
  std::vector<Substrate> substrates;
  Frame frame;

  BentSheet() {
    mesh.walls = {"floor", "axial"};
    for (int i = 0; i <= 2 * cells; ++i)
      for (int j = 0; j <= cells; ++j)
        mesh.nodes.emplace_back(std::min(2.0, i * cell), j * cell, std::max(0.0, i * cell - 2));
    const auto node = [](int i, int j) { return i * (cells + 1) + j; };
    for (int i = 0; i < 2 * cells; ++i)
      for (int j = 0; j < cells; ++j) {
        add(i, {node(i, j), node(i + 1, j), node(i + 1, j + 1)});
        add(i, {node(i, j), node(i + 1, j + 1), node(i, j + 1)});
      }
    frame.bond.resize(mesh.bond.size());
    for (auto& facet : frame.bond)
      for (BondPoint& point : facet) point.active = true;
    Surface end{.name = "x0", .facets = {}};
    for (int j = 0; j < cells; ++j)
      end.facets.push_back({node(0, j), node(0, j + 1), 0, node(0, j), node(0, j), 0});
    mesh.surfaces = {end};
  }
  void add(int column, std::array<int, 3> c) {
    const SixNodes nodes{c[0], c[1], c[2], c[0], c[1], c[2]};
    mesh.bond.push_back({nodes, nodes, column < cells ? 0 : 1, 0, 0});
    substrates.push_back(column < cells ? Substrate::cervical_dentin : Substrate::enamel);
  }
  /// Lets go with `opening` [mm] wherever it is above zero, of unfolded coordinates.
  template <class Opening>
  void let_go(Opening opening) {
    const BondPoints points = bond_points(mesh);
    for (std::size_t p = 0; p < points.places.size(); ++p) {
      const Eigen::Vector3d& at = points.places[p];
      const double o = opening(at.x() + at.z(), at.y());
      if (o > 0) frame.bond[p / 6][p % 6].strength_lost = 1, frame.bond[p / 6][p % 6].opening = o;
    }
  }
  [[nodiscard]] std::vector<Gap> gaps(std::set<std::string> closed = {}) const {
    return GapFinder(mesh, substrates, std::move(closed)).of(frame);
  }
};

double from(double x, double y, double to_x, double to_y) {
  return std::hypot(x - to_x, y - to_y);
}

/// A patch ends half way between points: as exact as their distance allows.
constexpr double by_mesh = 0.6 * BentSheet::cell;

}  // namespace

TEST_CASE("a gap over the border of two walls is one, with its area, volume and shares", "[gaps]") {
  BentSheet sheet;
  sheet.let_go([](double x, double y) { return from(x, y, 1.9, 1) < 0.5 ? 0.002 + 0.001 * (x - 1.9) : 0; });
  const auto gaps = sheet.gaps();
  REQUIRE(gaps.size() == 1);
  const Gap& gap = gaps.front();
  CHECK(gap.area == Approx(M_PI * 0.25).epsilon(0.02));
  CHECK(gap.mean_opening() == Approx(0.002).epsilon(0.01));
  CHECK(gap.widest == Approx(0.0025).margin(0.0001));
  REQUIRE(gap.shares.size() == 2);
  CHECK(gap.shares[0].wall == 0);
  CHECK(gap.shares[0].substrate == Substrate::cervical_dentin);
  CHECK(gap.shares[0].area + gap.shares[1].area == Approx(gap.area));
  CHECK(gap.shares[0].area > gap.shares[1].area);
  CHECK(gap.sound_to_margin == Approx(0.5).margin(by_mesh));
  CHECK(!gap.open_to_margin);
  CHECK(gap.throat == 0.0);
}

TEST_CASE("the way to the margin runs over the border of walls, not through the air", "[gaps]") {
  BentSheet sheet;  // 1.6 mm from the far end along the bond; from the sides 0.9 mm
  sheet.let_go([](double x, double y) { return from(x, y, 1, 1) < 0.1 ? 0.002 : 0; });
  CHECK(sheet.gaps().front().sound_to_margin == Approx(0.9).margin(by_mesh));
  // The near end is a plane of symmetry: 0.4 mm from it, and 0.7 mm from the nearest margin.
  BentSheet other;
  other.let_go(
      [](double x, double y) { return std::abs(x - 0.5) < 0.1 && std::abs(y - 1) < 0.3 ? 0.002 : 0; });
  CHECK(other.gaps().front().sound_to_margin == Approx(0.4).margin(by_mesh));
  CHECK(other.gaps({"x0"}).front().sound_to_margin == Approx(0.7).margin(by_mesh));
  CHECK_THROWS_AS(other.gaps({"x9"}), std::invalid_argument);
}

TEST_CASE("a way through another gap counts nothing", "[gaps]") {
  BentSheet sheet;
  const auto pair = [&](double x, double y) {
    const bool floor = from(x, y, 1, 1) < 0.2;
    const bool moat = y > 0.3 && y < 0.6 && x > 0.5 && x < 1.5;
    return floor || moat ? 0.002 : 0.0;
  };
  sheet.let_go(pair);
  const auto gaps = sheet.gaps();
  REQUIRE(gaps.size() == 2);
  // 0.3 mm below the moat and 0.2 mm from it to the disc, instead of 0.8 mm upwards.
  CHECK(std::max(gaps[0].sound_to_margin, gaps[1].sound_to_margin) == Approx(0.5).margin(2 * by_mesh));
  CHECK(std::min(gaps[0].sound_to_margin, gaps[1].sound_to_margin) == Approx(0.3).margin(by_mesh));
}

TEST_CASE("open to the margin is what nowhere is narrower than the threshold", "[gaps]") {
  for (const double neck : {0.0004, 0.0015}) {
    BentSheet sheet;  // a chamber of 1 by 1 mm and a corridor to the side whose middle is the neck
    sheet.let_go([&](double x, double y) {
      if (x > 0.5 && x < 1.5 && y > 0.5 && y < 1.5) return 0.006;
      if (x > 0.8 && x < 1.2 && y <= 0.5) return y > 0.2 && y < 0.3 ? neck : 0.003;
      return 0.0;
    });
    const auto gaps = sheet.gaps();
    REQUIRE(gaps.size() == 1);
    CHECK(gaps.front().throat == Approx(neck));
    CHECK(gaps.front().open_to_margin == (neck > default_way_opening));
    CHECK(gaps.front().sound_to_margin == 0.0);
    const double open = neck > default_way_opening ? gaps.front().area : 0.4 * 0.2;
    CHECK(gaps.front().area_open == Approx(open).epsilon(0.1));
  }
}

TEST_CASE("gaps of all frames together are the debonded area and volume", "[gaps]") {
  BentSheet sheet;
  sheet.let_go(
      [](double x, double y) { return std::max(0.0, 0.003 * std::sin(3 * x) * std::cos(5 * y) - 0.001); });
  double area = 0, volume = 0;
  const BondPoints points = bond_points(sheet.mesh);
  for (std::size_t p = 0; p < points.areas.size(); ++p) {
    const BondPoint& point = sheet.frame.bond[p / 6][p % 6];
    if (point.debonded()) area += points.areas[p], volume += points.areas[p] * point.opening;
  }
  const auto gaps = sheet.gaps();
  CHECK(gaps.size() > 3);
  double areas = 0, volumes = 0;
  for (const Gap& gap : gaps) areas += gap.area, volumes += gap.volume;
  CHECK(areas == Approx(area).epsilon(1e-12));
  CHECK(volumes == Approx(volume).epsilon(1e-12));
}

TEST_CASE("the edge of an increment is a margin until the next covers it", "[gaps]") {
  BentSheet sheet;
  for (std::size_t f = 0; f < sheet.mesh.bond.size(); ++f)
    if (sheet.mesh.bond[f].wall == 1)
      for (BondPoint& point : sheet.frame.bond[f]) point.active = false;
  const auto at_the_edge = [](double x, double y) { return x > 1.7 && from(x, y, 2, 1) < 0.4 ? 0.002 : 0.0; };
  sheet.let_go([&](double x, double y) { return x < 2 ? at_the_edge(x, y) : 0.0; });
  GapFinder finder(sheet.mesh, sheet.substrates);
  GapNumbers numbers;
  const auto first = numbers.follow(1, finder.of(sheet.frame));
  REQUIRE(first.size() == 1);
  CHECK(first.front().gap.open_to_margin);
  CHECK(numbers.records().front().open_since == 1.0);
  for (auto& facet : sheet.frame.bond)
    for (BondPoint& point : facet) point.active = true;
  const auto then = numbers.follow(2, finder.of(sheet.frame));
  CHECK(!then.front().gap.open_to_margin);
  CHECK(!numbers.records().front().open_since);
}

TEST_CASE("gaps keep their numbers while they grow, and merge into the largest", "[gaps]") {
  BentSheet sheet;
  GapFinder finder(sheet.mesh, sheet.substrates);
  GapNumbers numbers;
  CHECK(numbers.follow(0, finder.of(sheet.frame)).empty());
  sheet.let_go([](double x, double y) { return from(x, y, 0.6, 1) < 0.2 ? 0.001 : 0; });
  CHECK(numbers.follow(1, finder.of(sheet.frame)).size() == 1);
  sheet.let_go([](double x, double y) { return from(x, y, 1.6, 1) < 0.4 ? 0.001 : 0; });
  sheet.let_go([](double x, double y) { return from(x, y, 3.2, 1) < 0.2 ? 0.001 : 0; });
  const auto three = numbers.follow(2, finder.of(sheet.frame));
  REQUIRE(three.size() == 3);
  CHECK(three[1].gap.area > three[0].gap.area);
  sheet.let_go([](double x, double y) { return y > 0.9 && y < 1.1 && x > 0.5 && x < 1.6 ? 0.001 : 0; });
  const auto two = numbers.follow(3, finder.of(sheet.frame));
  REQUIRE(two.size() == 2);
  CHECK(two[0].number == 2);
  CHECK(two[1].number == 3);
  REQUIRE(numbers.records().size() == 3);
  CHECK(numbers.records()[0].merged_into == 2);
  CHECK(numbers.records()[0].merged_at == 3.0);
  CHECK(numbers.records()[0].appeared == 1.0);
  CHECK(!numbers.records()[1].merged_into);
}

TEST_CASE("sizes and thresholds that cannot be are refused", "[gaps]") {
  BentSheet sheet;
  CHECK_THROWS_AS(GapFinder(sheet.mesh, {}), std::invalid_argument);
  CHECK_THROWS_AS(GapFinder(sheet.mesh, sheet.substrates, {}, 0), std::invalid_argument);
  GapFinder finder(sheet.mesh, sheet.substrates);
  sheet.frame.bond.pop_back();
  CHECK_THROWS_AS(finder.of(sheet.frame), std::invalid_argument);
}
