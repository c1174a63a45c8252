// Movement of the cusps of a box open on both sides, under displacements that are given: facts of geometry.

#include <catch2/catch.hpp>

#include "mesh/build/build_mesh.hpp"
#include "solver/report/stress_report.hpp"

using namespace setstress;

namespace {

Mesh through_box() {
  return build_mesh(ToothCase{.tooth = {},
                              .preparation = {.kind = Preparation::Kind::through_box,
                                              .depth = 3,
                                              .width = 4,
                                              .taper = 0,
                                              .line_angle_radius = 0},
                              .layout = {}},
                    fineness("coarse"));
}

template <typename Field>
Frame moved_by(const Mesh& mesh, Field field) {
  Frame frame;
  frame.displacement.resize(3 * static_cast<Eigen::Index>(mesh.nodes.size()));
  for (std::size_t n = 0; n < mesh.nodes.size(); ++n)
    frame.displacement.segment<3>(3 * static_cast<Eigen::Index>(n)) = field(mesh.nodes[n]);
  return frame;
}

}  // namespace

TEST_CASE("a tooth that moves as a whole has no cusp deflection", "[stress report]") {
  const Mesh mesh = through_box();
  const Frame along = moved_by(mesh, [](const Eigen::Vector3d&) { return Eigen::Vector3d(0.3, 0, -0.2); });
  const CuspDeflection none = cusp_deflection(mesh, along).value();
  for (const double moved : {none.buccal, none.lingual, none.largest_buccal, none.largest_lingual,
                             none.buccal_edge->mesial, none.lingual_edge->middle, none.lingual_edge->distal})
    CHECK(moved == 0);
  const Frame across = moved_by(mesh, [](const Eigen::Vector3d&) { return Eigen::Vector3d(0, 0.25, 0); });
  const CuspDeflection pair = cusp_deflection(mesh, across).value();
  CHECK(pair.buccal + pair.lingual == Approx(0).margin(1e-12));
  CHECK(pair.largest_buccal + pair.largest_lingual == 0);
  CHECK(pair.buccal_edge->mesial + pair.lingual_edge->mesial == 0);
}

// Derived: the edge of a straight box 4 mm wide in a tooth 8 mm long runs at y = +-2 from x = -4 to 4.
TEST_CASE("points at the cavity's edge are where they are said to be", "[stress report]") {
  const Mesh mesh = through_box();
  const Frame frame = moved_by(
      mesh, [](const Eigen::Vector3d& x) { return Eigen::Vector3d(0, -x.y() * (1 + 0.1 * x.x()), 0); });
  const CuspDeflection cusps = cusp_deflection(mesh, frame).value();
  for (const CavityEdge& edge : {*cusps.buccal_edge, *cusps.lingual_edge}) {
    CHECK(edge.mesial == Approx(2 * (1 - 0.4)));
    CHECK(edge.distal == Approx(2 * (1 + 0.4)));
    CHECK(edge.middle == Approx(2).margin(0.2 * 0.9));  // no further off than half an element along the edge
  }
}

TEST_CASE("what moves most moves no less than any named point and than the mean", "[stress report]") {
  const Mesh mesh = through_box();
  const Frame frame = moved_by(mesh, [](const Eigen::Vector3d& x) {
    return Eigen::Vector3d(0, -x.y() / (1 + x.y() * x.y()) + 0.05 * x.x(), 0);
  });
  const CuspDeflection cusps = cusp_deflection(mesh, frame).value();
  for (const double moved :
       {cusps.buccal, cusps.buccal_edge->mesial, cusps.buccal_edge->middle, cusps.buccal_edge->distal})
    CHECK(cusps.largest_buccal >= moved);
  for (const double moved :
       {cusps.lingual, cusps.lingual_edge->mesial, cusps.lingual_edge->middle, cusps.lingual_edge->distal})
    CHECK(cusps.largest_lingual >= moved);
}
