// Statistics of the bond against hand-made frames: definitions, and closed sums over unit triangles.

#include <catch2/catch.hpp>
#include <cmath>

#include "solver/report/stress_report.hpp"
#include "solver/report/wall_report.hpp"
#include "solver/report/weighted_sample.hpp"

using namespace setstress;

namespace {

/// Two bonded triangles, on the floor (area 2, enamel) and on the axial wall (area 0.5, coronal dentin).
struct TwoFacets {
  Mesh mesh;
  std::vector<Substrate> substrates{Substrate::enamel, Substrate::coronal_dentin};
  Frame frame;

  TwoFacets() {
    mesh.nodes = {{0, 0, 0}, {2, 0, 0}, {0, 2, 0}, {0, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    mesh.walls = {"floor", "axial"};
    mesh.bond = {{{0, 1, 2, 0, 1, 2}, {0, 1, 2, 0, 1, 2}, 0, 0, 0},
                 {{3, 4, 5, 3, 4, 5}, {3, 4, 5, 3, 4, 5}, 1, 0, 0}};
    frame.bond.resize(2);
    for (auto& facet : frame.bond)
      for (BondPoint& point : facet) point.active = true, point.tensile_strength = point.shear_strength = 20;
  }
  /// Pulls facet `f` open with `normal` [MPa], everywhere alike.
  void pull(std::size_t f, double normal) {
    for (BondPoint& p : frame.bond[f]) {
      p.normal = normal;
      p.traction = normal * area_and_normal(mesh, mesh.bond[f].tooth).normal;
      p.ratio = normal / p.tensile_strength;
    }
  }
  [[nodiscard]] const BondStatistics& row(const std::vector<WallRow>& rows, const std::string& wall) const {
    for (const WallRow& r : rows)
      if (r.wall == wall && !r.substrate) return r.statistics;
    throw std::out_of_range(wall);
  }
};

}  // namespace

TEST_CASE("means are weighted by area", "[wall report]") {
  TwoFacets two;
  two.pull(0, 10);
  two.pull(1, 24);
  const auto rows = wall_report(two.mesh, two.substrates, two.frame);
  CHECK(rows.size() == 2 * 2 + 2 + 1);  // wall and substrate, wall, substrate, whole
  const BondStatistics& whole = rows.back().statistics;
  CHECK(whole.area == Approx(2.5));
  CHECK(whole.normal_traction.mean == Approx((2.0 * 10 + 0.5 * 24) / 2.5));
  CHECK(whole.share_above_one == Approx(0.5 / 2.5));
  CHECK(two.row(rows, "axial").ratio.p95 == Approx(1.2));
  CHECK(two.row(rows, "floor").share_above_one == 0.0);
}

TEST_CASE("only what has been placed counts, nothing placed is not a number", "[wall report]") {
  TwoFacets two;
  two.pull(0, 10);
  for (BondPoint& p : two.frame.bond[1]) p.active = false;
  const auto rows = wall_report(two.mesh, two.substrates, two.frame);
  CHECK(rows.back().statistics.placed_area == Approx(2.0));
  CHECK(rows.back().statistics.normal_traction.mean == Approx(10.0));
  CHECK(two.row(rows, "axial").area == Approx(0.5));
  CHECK(two.row(rows, "axial").placed_area == 0.0);
  CHECK(std::isnan(two.row(rows, "axial").ratio.mean));
}

TEST_CASE("a gap is the opening where the bond has let go, and only there", "[wall report]") {
  TwoFacets two;
  for (BondPoint& p : two.frame.bond[0])
    p.opening = 0.004, p.strength_lost = 0.5;  // stretched, still holding
  for (BondPoint& p : two.frame.bond[1]) p.opening = 0.002, p.strength_lost = 1.0, p.ratio = 1.0;
  two.frame.bond[1][0].opening = -0.001;  // closed crack
  const auto rows = wall_report(two.mesh, two.substrates, two.frame);
  const BondStatistics& axial = two.row(rows, "axial");
  CHECK(axial.share_debonded == Approx(1.0));
  CHECK(axial.share_above_one == Approx(1.0));
  CHECK(axial.largest_gap == 0.002);
  const double open_share = 1.0 - facet_points()[0].weight;
  CHECK(axial.gap_volume == Approx(0.5 * 0.002 * open_share));
  CHECK(two.row(rows, "floor").largest_gap == 0.0);
  CHECK(two.row(rows, "floor").share_softened == Approx(1.0));
  CHECK(two.row(rows, "floor").mean_strength_lost == Approx(0.5));
}

TEST_CASE("a share of what is placed becomes one of the whole part", "[wall report]") {
  TwoFacets two;
  two.pull(0, 10);
  two.pull(1, 24);  // past its strength
  for (BondPoint& p : two.frame.bond[0]) p.active = false;
  const BondStatistics whole = wall_report(two.mesh, two.substrates, two.frame).back().statistics;
  CHECK(!whole.is_whole());
  CHECK(whole.share_above_one == Approx(1.0));
  CHECK(whole.of_whole(whole.share_above_one) == Approx(0.5 / 2.5));
}

TEST_CASE("points that one is averaged over lie within 0.15 mm on the same wall, itself included",
          "[wall report]") {
  const TwoFacets two;  // sides of 1 mm and more: no point is near another
  const WallReport report(two.mesh, two.substrates);
  CHECK(report.of(two.frame).back().statistics.averaging_points == Approx(1.0));
  CHECK(report.fewest_averaging_points() == Approx(1.0));
  TwoFacets small;
  for (Eigen::Vector3d& node : small.mesh.nodes) node *= 0.05;  // all six points of a facet lie together
  CHECK(WallReport(small.mesh, small.substrates).fewest_averaging_points() == Approx(6.0));
}

TEST_CASE("a percentile is the smallest value that the share of the weight does not exceed",
          "[wall report]") {
  std::vector<WeightedValue> sample{{3, 1}, {1, 8}, {2, 1}};
  sort_by_value(sample);
  CHECK(weighted_percentile(sample, 0.5) == 1);
  CHECK(weighted_percentile(sample, 0.8) == 1);
  CHECK(weighted_percentile(sample, 0.81) == 2);
  CHECK(weighted_percentile(sample, 0.95) == 3);
  CHECK(weighted_mean(sample) == Approx(1.3));
  CHECK(std::isnan(weighted_mean({})));
  CHECK_THROWS_AS(weighted_percentile(sample, 0.0), std::invalid_argument);
}

TEST_CASE("sizes that disagree are refused", "[wall report]") {
  TwoFacets two;
  two.substrates.pop_back();
  CHECK_THROWS_AS(wall_report(two.mesh, two.substrates, two.frame), std::invalid_argument);
}

TEST_CASE("mean displacement of a surface is exact for a quadratic field", "[stress report]") {
  // u_y = x^2 over the unit right triangle: area mean 2 * integral of x^2 (1 - x) dx over [0, 1] = 1/6.
  Mesh mesh;
  mesh.nodes = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0.5, 0, 0}, {0.5, 0.5, 0}, {0, 0.5, 0}};
  mesh.surfaces = {{"occlusal buccal", {{0, 1, 2, 3, 4, 5}}}};
  Frame frame;
  frame.displacement = Eigen::VectorXd::Zero(18);
  for (std::size_t n = 0; n < 6; ++n)
    frame.displacement(3 * static_cast<Eigen::Index>(n) + 1) = mesh.nodes[n].x() * mesh.nodes[n].x();
  CHECK(mean_displacement(mesh, frame, "occlusal buccal", Eigen::Vector3d::UnitY()).value() ==
        Approx(1.0 / 6.0));
  CHECK(!mean_displacement(mesh, frame, "base", Eigen::Vector3d::UnitY()));
  CHECK(!cusp_deflection(mesh, frame));  // one cusp alone is no deflection
}
