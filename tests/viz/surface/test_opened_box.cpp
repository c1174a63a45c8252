// The bond unfolded flat, and what is judged and drawn on it.

#include <Eigen/Geometry>
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/scratch_folder.hpp"
#include "tests/viz/box_mesh.hpp"
#include "viz/pictures/bond_state.hpp"
#include "viz/surface/opened_box.hpp"
#include "viz/surface/surface_lines.hpp"
#include "viz/surface/viewpoint.hpp"

using namespace setstress;
using Catch::Matchers::WithinAbs;

namespace {

BondSurface box_bond(const Frame& frame) {
  const ScratchFolder scratch;
  const Mesh mesh = box_mesh();
  write_bond(mesh, frame, box_labels(mesh), scratch / "bond.vtp");
  return read_bond(scratch / "bond.vtp");
}
BondSurface box_bond() {
  return box_bond(blank_frame(box_mesh()));
}

double flat_area(const std::array<Eigen::Vector2d, 3>& corners) {
  const Eigen::Vector2d a = corners[1] - corners[0], b = corners[2] - corners[0];
  return (a.x() * b.y() - a.y() * b.x()) / 2;
}

/// A strip of a quarter cylinder, radius 2 mm, length 1 mm, in flat facets.
BondSurface quarter_cylinder(int facets) {
  BondSurface bond;
  bond.walls = {"round wall"};
  for (int i = 0; i <= facets; ++i)
    for (const double z : {0.0, 1.0}) {
      const double angle = std::acos(-1) / 2 * i / facets;
      bond.points.push_back({2 * std::cos(angle), 2 * std::sin(angle), z});
    }
  for (int i = 0; i < facets; ++i) {
    bond.triangles.push_back({2 * i, 2 * i + 1, 2 * i + 2});
    bond.triangles.push_back({2 * i + 1, 2 * i + 3, 2 * i + 2});
  }
  bond.of_cells["wall"] = Eigen::MatrixXd::Zero(2 * facets, 1);
  return bond;
}

}  // namespace

TEST_CASE("every wall of the opened box has its true area and no two overlap", "[viz][opened box]") {
  const BondSurface bond = box_bond();
  const OpenedBox box = open_box(bond);
  REQUIRE(box.pieces.size() == 4);
  std::map<std::string, double> area;
  for (std::size_t t = 0; t < bond.triangles.size(); ++t) {
    CHECK_THAT(flat_area(box.corners[t]), WithinAbs(bond.area(t), 1e-6));  // positive: seen from inside
    area[bond.walls[static_cast<std::size_t>(bond.cell_field("wall")(static_cast<Eigen::Index>(t), 0))]] +=
        flat_area(box.corners[t]);
  }
  CHECK_THAT(area["floor"], WithinAbs(8, 1e-5));
  CHECK_THAT(area["axial"], WithinAbs(12, 1e-5));
  CHECK_THAT(area["buccal"], WithinAbs(6, 1e-5));
  CHECK_THAT(area["lingual"], WithinAbs(6, 1e-5));
  // Floor 2 x 4 mm with walls 3 mm high on three sides, 0.15 mm apart.
  CHECK_THAT((box.high - box.low).x(), WithinAbs(2 + 0.15 + 3, 1e-5));
  CHECK_THAT((box.high - box.low).y(), WithinAbs(3 + 0.15 + 4 + 0.15 + 3, 1e-5));
}

TEST_CASE("walls fold out to the side they are on", "[viz][opened box]") {
  const BondSurface bond = box_bond();
  const OpenedBox box = open_box(bond);
  std::map<std::string, Eigen::Vector2d> centre;
  for (const OpenedPiece& piece : box.pieces)
    centre[bond.walls[static_cast<std::size_t>(piece.wall)]] = piece.centre;
  CHECK(centre["buccal"].y() > centre["floor"].y() + 3);  // buccal is +y
  CHECK(centre["lingual"].y() < centre["floor"].y() - 3);
  CHECK(centre["axial"].x() > centre["floor"].x() + 2);  // the box opens towards -x
}

TEST_CASE("a round wall unrolls to its arc length", "[viz][opened box]") {
  const OpenedBox box = open_box(quarter_cylinder(32));
  const double chords = 32 * 2 * 2 * std::sin(std::acos(-1) / 4 / 32);  // inscribed polygon
  const Eigen::Vector2d size = box.high - box.low;
  CHECK_THAT(size.maxCoeff(), WithinAbs(chords, 1e-9));
  CHECK_THAT(size.minCoeff(), WithinAbs(1, 1e-9));
}

TEST_CASE("the contour of the ratio lies where the field has that value", "[viz][opened box]") {
  BondSurface bond = box_bond();
  Eigen::MatrixXd& ratio = bond.at_points["stress_to_strength_ratio"];
  for (std::size_t p = 0; p < bond.points.size(); ++p)
    ratio(static_cast<Eigen::Index>(p), 0) = 1.3 + bond.points[p].z();
  double length = 0;
  for (const SurfaceLine& line : ratio_contour(bond, 1)) {
    std::array<Eigen::Vector3d, 2> ends{Eigen::Vector3d::Zero(), Eigen::Vector3d::Zero()};
    for (std::size_t e = 0; e < 2; ++e)
      for (std::size_t c = 0; c < 3; ++c)
        ends[e] += line.ends[e](static_cast<Eigen::Index>(c)) *
                   bond.points[static_cast<std::size_t>(bond.triangles[line.triangle][c])];
    CHECK_THAT(ends[0].z(), WithinAbs(-0.3, 1e-6));
    CHECK_THAT(ends[1].z(), WithinAbs(-0.3, 1e-6));
    length += (ends[1] - ends[0]).norm();
  }
  CHECK_THAT(length, WithinAbs(2 + 4 + 2, 1e-5));  // once around axial, buccal and lingual wall
}

TEST_CASE("hatching covers what has let go and nothing else", "[viz][opened box]") {
  const Mesh mesh = box_mesh();
  Frame frame = blank_frame(mesh);
  for (std::size_t f = 0; f < mesh.bond.size(); ++f)
    if (mesh.bond[f].wall == 0)
      for (BondPoint& point : frame.bond[f]) point.strength_lost = 1;
  const BondSurface bond = box_bond(frame);
  double length = 0;
  const OpenedBox box = open_box(bond);
  for (const SurfaceLine& line : hatching(bond, box, Looks::let_go, 0.01)) {
    CHECK(bond.cell_field("wall")(static_cast<Eigen::Index>(line.triangle), 0) == 0);
    std::array<Eigen::Vector2d, 2> ends{Eigen::Vector2d::Zero(), Eigen::Vector2d::Zero()};
    for (std::size_t e = 0; e < 2; ++e)
      for (std::size_t c = 0; c < 3; ++c)
        ends[e] += line.ends[e](static_cast<Eigen::Index>(c)) * box.corners[line.triangle][c];
    length += (ends[1] - ends[0]).norm();
  }
  CHECK_THAT(length * 0.01,
             WithinAbs(8, 0.1));  // length times spacing is the hatched area, to one line's worth
}

TEST_CASE("the state of the bond is judged by area, over what is filled", "[viz][opened box]") {
  const Mesh mesh = box_mesh();
  Frame frame = blank_frame(mesh);
  for (std::size_t f = 0; f < mesh.bond.size(); ++f)
    for (BondPoint& point : frame.bond[f]) {
      point.active = mesh.bond[f].wall != 1;  // axial wall not filled yet
      point.ratio = mesh.bond[f].wall == 0 ? 1.2 : 0.4;
      if (mesh.bond[f].wall == 2) point.strength_lost = 1;
    }
  const BondState state = judge(box_bond(frame));
  CHECK_THAT(state.filled_area, WithinAbs(20, 1e-5));
  CHECK_THAT(state.reached, WithinAbs(14.0 / 20, 1e-6));
  CHECK_THAT(state.debonded, WithinAbs(6.0 / 20, 1e-6));
  CHECK_THAT(state.percentile95, WithinAbs(1.2, 1e-6));
  CHECK(weighted_percentile({{3, 1}, {1, 8}, {2, 1}}, 0.8) == 1);
  CHECK(weighted_percentile({{3, 1}, {1, 8}, {2, 1}}, 0.81) == 2);
}

TEST_CASE("the eye looks in through the open side", "[viz][opened box]") {
  const BondSurface bond = box_bond();
  const Viewpoint viewpoint = viewpoint_into({&bond});
  const Eigen::Vector3d towards = (viewpoint.eye - viewpoint.focus).normalized();
  CHECK(towards.x() < -0.4);  // the box opens towards -x
  CHECK(towards.z() > 0.3);
  CHECK_THAT(towards.y(), WithinAbs(0, 0.05));  // and is symmetric about y = 0
}
