// Line integrals, gaps and the detector against slabs and wedges whose answer is known.

#include <catch2/catch.hpp>
#include <cmath>

#include "viz/radiograph/detector.hpp"

using namespace setstress;
using namespace setstress::viz;
using Eigen::Vector3d;

namespace {

/// A block of `size` [mm] with a corner at the origin, as six tetrahedra.
VolumeCells block(const Vector3d& size) {
  VolumeCells volume;
  for (int corner = 0; corner < 8; ++corner)
    volume.points.emplace_back(size.x() * (corner & 1), size.y() * (corner >> 1 & 1),
                               size.z() * (corner >> 2 & 1));
  for (const auto& way : {std::array{1, 3}, {1, 5}, {2, 3}, {2, 6}, {4, 5}, {4, 6}})  // from corner 0 to 7
    volume.tetrahedra.push_back({0, way[0], way[1], 7, 0, 0, 0, 0, 0, 0});
  volume.regions = {"slab"};
  volume.of_cells["region"] = Eigen::MatrixXd::Zero(6, 1);
  return volume;
}

/// A floor of `length` along x and `width` along y [mm] at height z, in two triangles a millimetre of length.
BondSurface floor_at(double z, int length, double width) {
  BondSurface bond;
  for (int i = 0; i <= length; ++i)
    for (const double y : {0.0, width}) bond.points.emplace_back(i, y, z);
  for (int i = 0; i < length; ++i) {
    bond.triangles.push_back({2 * i, 2 * i + 2, 2 * i + 1});
    bond.triangles.push_back({2 * i + 1, 2 * i + 2, 2 * i + 3});
  }
  return bond;
}

double volume_in(const Image& lengths, const PixelGrid& grid) {
  return lengths.sum() * grid.pixel * grid.pixel;
}

}  // namespace

TEST_CASE("a slab of known thickness lets exp(-mu d) through", "[radiograph]") {
  const VolumeCells slab = block({3, 2, 4});
  const Beam beam = beam_from("bitewing", 0);
  const Detector detector;
  const PixelGrid grid = grid_around(slab.points, beam, detector.pixel);
  const Image lengths = lengths_in_region(slab, 0, beam, grid);
  const Image signal = signal_behind(1.5 * lengths, detector);
  const auto row = grid.rows / 2, column = grid.columns / 2;
  CHECK(lengths(row, column) == Approx(2).epsilon(1e-12));
  CHECK(signal(row, column) == Approx(std::exp(-detector.aluminium * 1.5 * 2)).epsilon(1e-9));
  CHECK(signal(0, 0) == Approx(1).margin(0.2));  // beside it, but for the blur
  CHECK(lengths(0, 0) == 0);
}

TEST_CASE("rays through a block hold its volume from wherever they come", "[radiograph]") {
  const VolumeCells slab = block({3, 2, 4});
  for (const char* name : {"bitewing", "mesio-distal", "occlusal"})
    for (const double tilt : {-20.0, 0.0, 8.0}) {
      const Beam beam = beam_from(name, tilt);
      INFO(name << " " << tilt);
      CHECK(beam.up.cross(beam.right).dot(beam.along) == Approx(1));
      const PixelGrid grid = grid_around(slab.points, beam, 0.05);
      CHECK(volume_in(lengths_in_region(slab, 0, beam, grid), grid) == Approx(24).epsilon(0.02));
    }
  CHECK_THROWS_WITH(beam_from("panorama", 0), Catch::Contains("bitewing, mesio-distal or occlusal"));
}

TEST_CASE("a gap holds its volume, edge on or face on", "[radiograph]") {
  const BondSurface floor = floor_at(1.02, 3, 2);
  const Eigen::VectorXd gap = Eigen::VectorXd::Constant(6, 0.01);
  const VolumeCells around = block({3, 2, 4});
  for (const auto& [name, tilt] : {std::pair{"bitewing", 0.0}, {"bitewing", 30.0}, {"occlusal", 0.0}}) {
    INFO(name << " " << tilt);
    const Beam beam = beam_from(name, tilt);
    const PixelGrid grid = grid_around(around.points, beam, 0.05);
    CHECK(volume_in(sum_over_gaps(floor, gap, Eigen::VectorXd::Ones(gap.size()), beam, grid), grid) ==
          Approx(3 * 2 * 0.01).epsilon(1e-9));
  }
  // Edge on, all of it lies in one line of pixels or two: 2 mm of way, a fifth of a pixel wide.
  const Beam level = beam_from("bitewing", 0);
  const PixelGrid grid = grid_around(around.points, level, 0.05);
  const Image lengths = sum_over_gaps(floor, gap, Eigen::VectorXd::Ones(gap.size()), level, grid);
  CHECK(lengths.col(grid.columns / 2).sum() == Approx(2 * 0.01 / 0.05).epsilon(0.01));
  CHECK((lengths.col(grid.columns / 2) > 0).count() <= 2);
  // Face on a ray meets its width.
  const Beam down = beam_from("occlusal", 0);
  const PixelGrid face = grid_around(around.points, down, 0.05);
  const Image seen = sum_over_gaps(floor, gap, Eigen::VectorXd::Ones(gap.size()), down, face);
  CHECK(seen(face.rows / 2, face.columns / 2) == Approx(0.01).epsilon(0.05));
}

// A wedge of gap from 0 to 300 um over 30 mm, seen edge on through 2 mm of composite. A pixel of its line
// changes by (exp(mu L) - 1) g/(sqrt(2 pi) blur) of the signal, as long as the gap is thin against the blur:
// derived. Where that equals the noise of a pixel, the line drowns.
TEST_CASE("noise hides the thin end of a wedge where it should", "[radiograph]") {
  constexpr double way = 2, length = 30, widest = 0.3;
  const Detector detector{.aluminium = 0.28, .pixel = 0.03, .blur = 0.3, .noise = 0.03};
  const BondSurface floor = floor_at(2.015, 30, way);
  Eigen::VectorXd gap(60);
  for (Eigen::Index t = 0; t < 60; ++t) gap(t) = widest * (static_cast<double>(t / 2) + 0.5) / length;
  const VolumeCells composite = block({length, way, 4});
  const Beam beam = beam_from("bitewing", 0);
  const PixelGrid grid = grid_around(composite.points, beam, detector.pixel);
  const Image full = lengths_in_region(composite, 0, beam, grid);
  const Image without = signal_behind(full, detector),
              with = signal_behind(
                  full - sum_over_gaps(floor, gap, Eigen::VectorXd::Ones(gap.size()), beam, grid), detector);
  const Image noise = noise_of(without, detector);
  // The first millimetre of which the line's brightest pixel stands out of the noise.
  double seen_from = 0;
  for (int mm = 1; mm < 30 && seen_from == 0; ++mm) {
    const auto column = static_cast<Eigen::Index>((mm + 0.5 - grid.corner.x()) / grid.pixel);
    if (((with - without) / noise).col(column).maxCoeff() > 1) seen_from = mm + 0.5;
  }
  const double share =
      detector.noise / std::sqrt(std::exp(-detector.aluminium * way));  // of the signal there
  const double drowns =
      share * std::sqrt(2 * std::acos(-1.0)) * detector.blur / std::expm1(detector.aluminium * way);
  INFO("drowns below " << 1000 * drowns << " um, seen from " << 1000 * widest * seen_from / length << " um");
  CHECK(widest * seen_from / length > drowns);
  CHECK(widest * (seen_from - 1) / length < 1.1 * drowns);
  // With noise drawn, the mean of many pixels comes out, and the same seed gives the same.
  const Image noisy = with_noise(without, detector, 3);
  CHECK((noisy - without).mean() == Approx(0).margin(2e-4));
  CHECK(std::sqrt(((noisy - without) / noise).square().mean()) == Approx(1).epsilon(0.02));
  CHECK((noisy == with_noise(without, detector, 3)).all());
  CHECK(stands_out(with - without, noise) > stands_out(0.5 * (with - without), noise));
}
