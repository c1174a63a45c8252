// Pictures: expected colours at known places, no display needed, refusals.

#include <signal.h>
#include <stdlib.h>
#include <sys/wait.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/scratch_folder.hpp"
#include "tests/viz/box_result.hpp"
#include "viz/drawing/colours.hpp"
#include "viz/drawing/display.hpp"
#include "viz/film/animation.hpp"
#include "viz/pictures/pictures.hpp"
#include "viz/surface/plane_cut.hpp"
#include "viz/words/spoken_time.hpp"

using namespace setstress;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

/// Sets DISPLAY for one test and restores it.
class DisplayVariable {
 public:
  explicit DisplayVariable(const char* value) {
    if (const char* before = getenv("DISPLAY")) before_ = before;
    value == nullptr ? unsetenv("DISPLAY") : setenv("DISPLAY", value, 1);
  }
  DisplayVariable(const DisplayVariable&) = delete;
  DisplayVariable& operator=(const DisplayVariable&) = delete;
  ~DisplayVariable() { before_ ? setenv("DISPLAY", before_->c_str(), 1) : unsetenv("DISPLAY"); }

 private:
  std::optional<std::string> before_;
};

}  // namespace

TEST_CASE("the ratio scale darkens steadily and changes hue at 1", "[viz][pictures]") {
  for (double ratio = 0; ratio < 2.99; ratio += 0.01) {
    CAPTURE(ratio);
    CHECK(lightness(ratio_colour(ratio + 0.01, 3)) < lightness(ratio_colour(ratio, 3)));
  }
  const Colour below = ratio_colour(0.999, 3), above = ratio_colour(1, 3);
  CHECK(below[2] > below[0] + 0.3);  // blue below
  CHECK(above[0] > above[2] + 0.6);  // orange above
  // CIE lightness of mid grey (sRGB 0.5): 53.39, from IEC 61966-2-1 and CIE 15:2004.
  CHECK_THAT(lightness({0.5, 0.5, 0.5}), WithinAbs(53.39, 0.01));
  CHECK_THAT(lightness(from_lch(70, 0, 0)), WithinAbs(70, 0.01));
}

TEST_CASE("a known field has the scale's colours in the picture, with no display at hand",
          "[viz][pictures]") {
  const DisplayVariable none(nullptr);
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1.6, 0.4, 0.8, 1.2});
  draw_bond(result, scratch / "bond.png", {.width = 1000, .background = Background::white, .scale_top = 2});
  const auto image = read_png(scratch / "bond.png");
  CHECK(image->GetDimensions()[0] == 1000);
  // Left the worst instant, right the end at half the ratios; every wall is in both views of its panel.
  for (const double ratio : {1.6, 0.4, 0.8, 1.2, 0.2, 0.6}) {
    CAPTURE(ratio);
    CHECK(count_of(image, ratio_colour(ratio, 2)) > 1500);
  }
  CHECK(count_of(image, {1, 1, 1}) > 300000);
  CHECK(getenv("DISPLAY") == nullptr);
}

TEST_CASE("the floor of the opened box is as many pixels as its area says", "[viz][pictures]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1.6, 0.4, 0.4, 0.4});
  const PictureOptions one{.width = 1000, .background = Background::dark, .time = 300, .scale_top = 2};
  draw_bond(result, scratch / "bond.png", one);
  const auto image = read_png(scratch / "bond.png");
  // Floor over the rest, 8 to 24 mm2, as foreshortened in space and true in the box; names and lines take a
  // little.
  const double floor = count_of(image, ratio_colour(1.6, 2)), walls = count_of(image, ratio_colour(0.4, 2));
  CHECK(floor > 0.2 * walls);
  CHECK(floor < 0.5 * walls);
}

TEST_CASE("a private display ends with the object that asked for it", "[viz][pictures]") {
  const DisplayVariable bad("nowhere:99");
  pid_t process = 0;
  {
    const Display display;
    process = display.private_process();
    REQUIRE(process > 0);
    CHECK(std::string(getenv("DISPLAY")) != "nowhere:99");
  }
  CHECK(kill(process, 0) != 0);
  CHECK(std::string(getenv("DISPLAY")) == "nowhere:99");
}

TEST_CASE("a missing virtual display is told in a sentence", "[viz][pictures]") {
  const DisplayVariable none(nullptr);
  const std::string path = getenv("PATH");
  setenv("PATH", "/nowhere", 1);
  CHECK_THROWS_WITH(Display(), Contains("cannot draw") && Contains("install the package xvfb"));
  setenv("PATH", path.c_str(), 1);
}

TEST_CASE("pictures with impossible options are refused", "[viz][pictures]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1, 1, 1, 1});
  PictureOptions options;
  options.width = 100;
  CHECK_THROWS_WITH(draw_bond(result, scratch / "bond.png", options),
                    Contains("width is 100 pixels") && Contains("400"));
  options = {};
  options.scale_top = 0.5;
  CHECK_THROWS_WITH(draw_bond(result, scratch / "bond.png", options), Contains("0.5") && Contains("above 1"));
  CHECK_THROWS_WITH(draw_comparison({result}, {}, scratch / "comparison.png"),
                    Contains("1 results and 0 names"));
  CHECK_THROWS_WITH(draw_bond({.folder = "empty", .frames = {{}}}, scratch / "bond.png"),
                    Contains("no file of the bond"));
  CHECK_THROWS_WITH(draw_cut({result}, {"a"}, scratch / "cut.png", {.position = 30}),
                    Contains("misses the tooth") && Contains("-3 to 3"));
  CHECK_THROWS_WITH(animate({result}, {"a"}, scratch / "film.avi"), Contains("\"film.avi\" ends in none"));
}

TEST_CASE("a comparison and a cut are drawn, transparent where asked", "[viz][pictures]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1.6, 0.4, 0.8, 1.2});
  draw_comparison({result, result}, {"bulk", "layered"}, scratch / "comparison.png",
                  {.width = 1000, .background = Background::white, .time = 300});
  const auto comparison = read_png(scratch / "comparison.png");
  int differing = 0;  // both columns are the same result; compare below the names
  const int top = static_cast<int>(0.85 * comparison->GetDimensions()[1]),
            bottom = static_cast<int>(0.16 * comparison->GetDimensions()[1]);
  for (int y = bottom; y < top; ++y)
    for (int x = 0; x < 500; ++x)
      differing += comparison->GetScalarComponentAsDouble(x, y, 0, 0) !=
                           comparison->GetScalarComponentAsDouble(x + 500, y, 0, 0)
                       ? 1
                       : 0;
  CHECK(differing < 25);  // of 300,000: a sample on an edge may tip where the two viewports round differently
  draw_cut({result}, {"bulk"}, scratch / "cut.png", {.width = 600, .background = Background::transparent});
  const auto cut = read_png(scratch / "cut.png");
  REQUIRE(cut->GetNumberOfScalarComponents() == 4);
  CHECK(cut->GetScalarComponentAsDouble(3, 200, 0, 3) == 0);
  CHECK(cut->GetScalarComponentAsDouble(300, 200, 0, 3) == 255);
}

TEST_CASE("a cut through the box has the area of its section", "[viz][pictures]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1, 1, 1, 1});
  const VolumeCells volume = read_volume(result.frames[0].volume);
  CHECK_THAT(middle_of_filling(volume, 0), WithinAbs(1, 1e-9));
  const PlaneCut section = cut(volume, 1, 0.3);
  double area = 0;
  for (const CutTriangle& triangle : section.triangles) {
    std::array<Eigen::Vector3d, 3> corners;
    for (std::size_t c = 0; c < 3; ++c) {
      const CutCorner& corner = triangle.corners[c];
      corners[c] = (1 - corner.share) * volume.points[static_cast<std::size_t>(corner.nodes[0])] +
                   corner.share * volume.points[static_cast<std::size_t>(corner.nodes[1])];
      CHECK_THAT(corners[c].y(), WithinAbs(0.3, 1e-6));
    }
    const Eigen::Vector3d a = corners[1] - corners[0], b = corners[2] - corners[0];
    area += std::abs(a.z() * b.x() - a.x() * b.z()) / 2;
  }
  CHECK_THAT(area, WithinAbs(16, 1e-4));  // block 4 mm long and high, filling included
}

TEST_CASE("values smoothed within a region do not leak across materials", "[viz][pictures]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1, 1, 1, 1});
  const VolumeCells volume = read_volume(result.frames[0].volume);
  const Eigen::VectorXd values = volume.of_cells.at("region").col(0);
  for (const auto& [key, value] : smooth_by_region(volume, values))
    CHECK_THAT(value, WithinAbs(key.first, 1e-12));
}

TEST_CASE("an animation is written whole or not at all", "[viz][pictures]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1.6, 0.4, 0.8, 1.2});
  const AnimationOptions quick{.width = 400, .frames_per_second = 2, .pause_at_jump = 0.5};
  animate({result}, {"bulk"}, scratch / "film.gif", quick);
  CHECK(std::filesystem::file_size(scratch / "film.gif") > 2000);
  CHECK_FALSE(std::filesystem::exists(scratch / "film.gif.part"));
  const std::string path = getenv("PATH");
  CHECK_THROWS_WITH(animate({result}, {"bulk"}, scratch / "missing" / "film.mp4", quick),
                    Contains("missing/film.mp4: ffmpeg says"));
  const Display display;  // Xvfb is found by PATH too
  setenv("PATH", "/nowhere", 1);
  CHECK_THROWS_WITH(animate({result}, {"bulk"}, scratch / "film.mp4", quick),
                    Contains("install the package ffmpeg"));
  setenv("PATH", path.c_str(), 1);
}

TEST_CASE("times are spoken to the second, as people say them", "[viz][pictures]") {
  CHECK(duration_text(0) == "0 s");
  CHECK(duration_text(45) == "45 s");
  CHECK(duration_text(300) == "5 min");
  CHECK(duration_text(320.4) == "5 min 20 s");
  CHECK(duration_text(59.7) == "1 min");
  CHECK(duration_text(3605) == "1 h 5 s");
  CHECK(duration_text(86400) == "24 h");
}
