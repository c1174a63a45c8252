// Boxes of equal volume and very different C-factor.

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <catch2/catch.hpp>

#include <algorithm>

#include "tests/check_record.hpp"
#include "tests/trends/trend_case.hpp"

using namespace setstress;
using namespace setstress::testing;

namespace {

constexpr const char* source =
    "Rodrigues, Silikas, Watts and Ballester 2012, Finite element analysis of bonded model class I "
    "restorations after shrinkage (abstract; sizes of the boxes could not be read, ours have its volume and "
    "walls)";

struct Box {
  double length, width, depth;
  [[nodiscard]] double c_factor() const {
    return (length * width + 2 * depth * (length + width)) / (length * width);
  }
};
// 20 mm3 each; C 1.9 to 13.5 as published.
constexpr std::array boxes{Box{5, 4, 1},   Box{4, 4, 1.25}, Box{5, 2.5, 1.6}, Box{5, 2, 2},
                           Box{4, 2, 2.5}, Box{2.5, 2, 4},  Box{5, 1, 4},     Box{4, 1, 5}};

SolvedCase solve(const Box& box, const std::string& more) {
  const double crown = std::max(2.0, box.depth + 1);
  return SolvedCase(on_top_of("constant-volume-box.toml",
                              fmt::format("[tooth]\nlength = {:.3f}\nwidth = {:.3f}\ncrown_height = {:.3f}\n"
                                          "root_depth = {:.3f}\n[preparation]\nlength = {:.3f}\n"
                                          "width = {:.3f}\ndepth = {:.3f}\n{}",
                                          box.length + 4, box.width + 4, crown, box.depth + 2 - crown,
                                          box.length, box.width, box.depth, more)));
}

/// What eight boxes show, in order of their C-factor.
struct Ladder {
  std::vector<double> c_factor, floor_peak, walls_peak, floor_mean, walls_mean, floor_traction,
      walls_traction;
  std::string mesh;
};

Ladder climb(const std::string& bond) {
  Ladder ladder;
  for (const Box& box : boxes) {
    const SolvedCase solved = solve(box, bond);
    const StressAtWall floor = stress_at_wall(solved, "floor", Side::filling);
    double peak = 0, mean = 0, traction = 0;
    for (const char* wall : {"buccal", "lingual", "mesial", "distal"}) {
      const StressAtWall stress = stress_at_wall(solved, wall, Side::filling);
      peak = std::max(peak, stress.peak);
      mean = std::max(mean, stress.mean);
      traction = std::max(traction, at_end(solved, wall, "normal_traction_mean_MPa"));
    }
    ladder.c_factor.push_back(box.c_factor());
    ladder.floor_peak.push_back(floor.peak);
    ladder.walls_peak.push_back(peak);
    ladder.floor_mean.push_back(floor.mean);
    ladder.walls_mean.push_back(mean);
    ladder.floor_traction.push_back(at_end(solved, "floor", "normal_traction_mean_MPa"));
    ladder.walls_traction.push_back(traction);
    ladder.mesh = fmt::format("0.5 mm along the bond; the last box: {}", solved.mesh_text());
  }
  return ladder;
}

double spread(const std::vector<double>& values) {
  const auto [least, most] = std::minmax_element(values.begin(), values.end());
  return *most / *least;
}

Check check_of(const std::string& title, const Ladder& l) {
  const auto points = [&](const char* label, const std::vector<double>& y) {
    return Series{label, Series::Style::points, l.c_factor, y};
  };
  Check check{
      .chapter = "Published trends",
      .title = title,
      .source = source,
      .formula =
          "eight boxes of 20 mm3, walls 2 mm, 1 % shrinkage: no clear rise of the peaks of stress with the "
          "C-factor, only small variation; peaks at the floor below those at the upright walls",
      .mesh = l.mesh,
      .tolerance_because =
          "the paper gives no numbers that could be read: 'small variation' is taken as a quarter, "
          "where stress in proportion to the C-factor would rise 7.1 times",
      .comparisons = {at_most("upright walls: largest over smallest peak of the first principal stress", "-",
                              1.25, spread(l.walls_peak)),
                      at_most("floor: largest over smallest peak of the first principal stress", "-", 1.25,
                              spread(l.floor_peak)),
                      at_most("shallowest box: mean stress at the floor over that at the upright walls", "-",
                              1.0, l.floor_mean.front() / l.walls_mean.front()),
                      at_most("shallowest box: mean normal traction on the floor over that on the walls", "-",
                              1.0, l.floor_traction.front() / l.walls_traction.front())},
      .curves = {{"C-factor [-]",
                  "stress [MPa]",
                  {points("peak, upright walls", l.walls_peak), points("peak, floor", l.floor_peak),
                   points("mean, upright walls", l.walls_mean), points("mean, floor", l.floor_mean),
                   points("mean normal traction, floor", l.floor_traction)}}}};
  int below = 0, same = 0;
  for (std::size_t i = 0; i < boxes.size(); ++i) {
    below += l.floor_peak[i] < l.walls_peak[i];
    same += l.floor_peak[i] == l.walls_peak[i];
  }
  check.verdict = fmt::format(
      "Agreement on size, in part on rank. Peaks differ by less than a quarter over a sevenfold C-factor, "
      "but what "
      "little they differ goes with it (Pearson {:.2f} at the walls, {:.2f} at the floor). Peaks at the "
      "floor are below "
      "those at the walls in {} of 8 boxes and the same, in the line angle they share, in {}. Means at the "
      "floor are "
      "below those at the walls in shallow boxes only: in deep narrow ones the floor is hemmed in by four "
      "walls and nears "
      "the stress of a filling held on all sides (mean normal traction on the floor {:.0f} MPa in the "
      "shallowest, {:.0f} "
      "MPa in the deepest box). Supports, elastic values and sizes of the paper could not be read.",
      pearson(l.c_factor, l.walls_peak), pearson(l.c_factor, l.floor_peak), below, same,
      l.floor_traction.front(), l.floor_traction.back());
  return check;
}

}  // namespace

TEST_CASE("peaks hardly rise with the C-factor at equal volume, tied bond", "[trends]") {
  verify(check_of("Eight boxes of 20 mm3, tied bond", climb("[mesh]\ntied_bond = true\n")));
}

TEST_CASE("peaks hardly rise with the C-factor at equal volume, film of 20 um", "[trends]") {
  verify(check_of("Eight boxes of 20 mm3, film of 20 um", climb("[bond]\nfilm_thickness = 0.02\n")));
}

TEST_CASE("one per cent by volume gives a third of the stress of one per cent linear", "[trends]") {
  const Box box = boxes[3];
  const SolvedCase linear = solve(box, "");
  const SolvedCase by_volume =
      solve(box, "[materials.override.stiff-at-once]\nvolumetric_shrinkage = 0.01\n");
  const auto mean = [](const SolvedCase& solved) {
    return at_end(solved, "all", "normal_traction_mean_MPa");
  };
  verify(
      {.chapter = "Published trends",
       .title = "Meaning of 1 % shrinkage",
       .source = std::string(source) + "; derived",
       .formula =
           "the abstract does not say whether its 1 % is linear or by volume; linear free strain is a third "
           "of the volumetric one and the model is linear, so that all stresses differ by a factor of three",
       .mesh = linear.mesh_text(),
       .tolerance_because = "linear: round-off and the accuracy of the linear solver, 1e-6",
       .comparisons = {within_share("mean normal traction, 1 % linear over 1 % by volume", "-", 3.0,
                                    mean(linear) / mean(by_volume), 1e-5)}});
}
