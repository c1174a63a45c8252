// The bond averaged over a fixed length, on hand-made squares of bond with fields whose averages are known.

#include "solver/report/averaged_bond.hpp"

#include <omp.h>

#include <catch2/catch.hpp>
#include <cmath>

using namespace setstress;

namespace {

/// A 2 mm square of bond in the plane z = 0, of cells of side 2 / n cut in two; strengths 20 and 10 MPa.
struct Square {
  Mesh mesh;
  Frame frame;

  explicit Square(int n) {
    const double side = 2.0 / n;
    for (int i = 0; i <= n; ++i)
      for (int j = 0; j <= n; ++j) mesh.nodes.emplace_back(side * i, side * j, 0);
    const auto node = [n](int i, int j) { return i * (n + 1) + j; };
    const auto add = [this](int a, int b, int c) {
      mesh.bond.push_back({{a, b, c, a, b, c}, {a, b, c, a, b, c}, 0, 0, 0});
    };
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j) {
        add(node(i, j), node(i + 1, j), node(i + 1, j + 1));
        add(node(i, j), node(i + 1, j + 1), node(i, j + 1));
      }
    mesh.walls = {"floor", "axial"};
    frame.bond.resize(mesh.bond.size());
  }

  [[nodiscard]] Eigen::Vector3d place(std::size_t facet, std::size_t point) const {
    Eigen::Vector3d at = Eigen::Vector3d::Zero();
    for (std::size_t c = 0; c < 3; ++c)
      at += facet_points()[point].barycentric[c] *
            mesh.nodes[static_cast<std::size_t>(mesh.bond[facet].tooth[c])];
    return at;
  }

  /// Sets the traction [MPa] that `field` gives at each place.
  template <class Field>
  void load(Field field) {
    for (std::size_t f = 0; f < frame.bond.size(); ++f)
      for (std::size_t i = 0; i < 6; ++i) {
        BondPoint& p = frame.bond[f][i];
        p.traction = field(place(f, i));
        p.normal = p.traction.z();
        p.shear = p.traction.head<2>().norm();
        p.tensile_strength = 20, p.shear_strength = 10, p.active = true;
        p.ratio = std::hypot(std::max(0.0, p.normal) / 20, p.shear / 10);
      }
  }
};

/// Calls `check` with place, point and average, at all points further from the edge than the radius.
template <class Check>
void inside(const Square& square, Check check) {
  const auto averages = averaged_bond(square.mesh, square.frame);
  int seen = 0;
  for (std::size_t f = 0; f < averages.size(); ++f)
    for (std::size_t i = 0; i < 6; ++i) {
      const Eigen::Vector3d at = square.place(f, i);
      const double to_edge = std::min(at.head<2>().minCoeff(), 2.0 - at.head<2>().maxCoeff());
      if (to_edge < averaging_length) continue;
      check(at, averages[f][i]);
      ++seen;
    }
  REQUIRE(seen > 0);
}

}  // namespace

TEST_CASE("an even traction is its own average, up to the edge", "[averaged bond]") {
  Square square(5);
  square.load([](const Eigen::Vector3d&) { return Eigen::Vector3d(3, 4, 12); });
  for (const auto& facet : averaged_bond(square.mesh, square.frame))
    for (const AveragedPoint& at : facet) {
      CHECK(at.normal == Approx(12));
      CHECK(at.shear == Approx(5));
      CHECK(at.ratio == Approx(std::hypot(12.0 / 20, 5.0 / 10)));
    }
}

TEST_CASE("a line load comes out as high as the fixed disc makes it, however fine the mesh",
          "[averaged bond]") {
  // 10 N/mm along x = 1, spread over the width of one cell. Derived: a chord of length d through the middle
  // of a disc of diameter d carries 10 d; over pi d^2 / 4 that is 40 / (pi d).
  const int n = GENERATE(41, 61);
  Square square(n);
  square.load([n](const Eigen::Vector3d& at) {
    const double width = 2.0 / n;
    return Eigen::Vector3d(0, 0, std::abs(at.x() - 1) < 0.5 * width ? 10 / width : 0);
  });
  double highest = 0;
  inside(square,
         [&](const Eigen::Vector3d&, const AveragedPoint& at) { highest = std::max(highest, at.normal); });
  CHECK(highest == Approx(40 / (3.14159265358979 * averaging_length)).epsilon(0.05));
}

TEST_CASE("shear that turns about is averaged as a vector, compression loads no bond", "[averaged bond]") {
  Square square(80);
  square.load([](const Eigen::Vector3d& at) {
    const double sign = std::fmod(at.x(), 0.05) < 0.025 ? 1 : -1;
    return Eigen::Vector3d(0, sign * 10, -30);
  });
  inside(square, [](const Eigen::Vector3d&, const AveragedPoint& at) {
    CHECK(at.normal == Approx(-30));
    CHECK(at.shear < 1.0);
    CHECK(at.ratio < 0.1);
  });
}

TEST_CASE("neither another wall nor what is not placed yet enters the average", "[averaged bond]") {
  Square square(20);
  square.load([](const Eigen::Vector3d& at) { return Eigen::Vector3d(0, 0, at.x() < 1 ? 5 : 50); });
  const bool other_wall = GENERATE(true, false);
  for (std::size_t f = 0; f < square.mesh.bond.size(); ++f) {
    if (square.place(f, 0).x() < 1) continue;
    if (other_wall) square.mesh.bond[f].wall = 1;
    for (BondPoint& p : square.frame.bond[f]) p.active = other_wall;
  }
  const auto averages = averaged_bond(square.mesh, square.frame);
  for (std::size_t f = 0; f < averages.size(); ++f) {
    const double expected = square.place(f, 0).x() < 1 ? 5 : other_wall ? 50 : 0;
    for (const AveragedPoint& at : averages[f]) CHECK(at.normal == Approx(expected));
  }
}

TEST_CASE("where the bond softens its own ratio stands", "[averaged bond]") {
  Square square(10);
  square.load([](const Eigen::Vector3d&) { return Eigen::Vector3d(0, 0, 2); });
  square.frame.bond[7][3].strength_lost = 0.4;
  square.frame.bond[7][3].ratio = 1.0;
  const auto averages = averaged_bond(square.mesh, square.frame);
  CHECK(averages[7][3].ratio == 1.0);
  CHECK(averages[7][2].ratio == Approx(0.1));
}

TEST_CASE("neighbours found once serve every instant: as summed over all points, on any number of threads",
          "[averaged bond]") {
  Square square(20);
  square.load([](const Eigen::Vector3d& at) { return Eigen::Vector3d(0, 0, std::sin(7 * at.x() * at.y())); });
  const BondAverage average(square.mesh);
  CHECK(average.tractions(square.frame).normal[0] != 0);
  for (std::size_t f = 0; f < square.mesh.bond.size(); f += 3)  // another instant: less is placed
    for (BondPoint& p : square.frame.bond[f]) p.active = false;
  const std::vector<double> averages = average.tractions(square.frame).normal,
                            ratios = average.ratios(square.frame);
  const std::size_t facets = square.mesh.bond.size();
  for (std::size_t f = 0; f < facets; f += 5)
    for (std::size_t i = 0; i < 6; ++i) {
      double sum = 0, area = 0;
      for (std::size_t g = 0; g < facets; ++g)
        for (std::size_t j = 0; j < 6; ++j) {
          const BondPoint& p = square.frame.bond[g][j];
          if (!p.active || (square.place(g, j) - square.place(f, i)).norm() > 0.5 * averaging_length)
            continue;
          sum += facet_points()[j].weight * p.normal;  // all facets are of one size
          area += facet_points()[j].weight;
        }
      const double expected = square.frame.bond[f][i].active ? sum / area : 0;
      CHECK(averages[6 * f + i] == Approx(expected).margin(1e-12));  // sums of about ten terms near 1
    }
  const int threads = omp_get_max_threads();
  for (const int other : {1, 3}) {
    omp_set_num_threads(other);
    CHECK(average.tractions(square.frame).normal == averages);
    CHECK(average.ratios(square.frame) == ratios);
  }
  omp_set_num_threads(threads);
}
