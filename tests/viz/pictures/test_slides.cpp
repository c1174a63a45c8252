// Pictures for slides: what a known field on the box becomes, as pixels, SVG and PDF; films decoded again.

#include <vtkSmartPointer.h>
#include <vtkXMLDataElement.h>
#include <vtkXMLUtilities.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <sstream>

#include "tests/scratch_folder.hpp"
#include "tests/viz/box_result.hpp"
#include "viz/drawing/outlines.hpp"
#include "viz/drawing/scale.hpp"
#include "viz/film/animation.hpp"
#include "viz/pictures/bond_sheet.hpp"
#include "viz/pictures/pictures.hpp"

using namespace setstress;
using Catch::Matchers::Contains;
using Catch::Matchers::StartsWith;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr int floor_wall = 0;

/// The floor has let go and stands 2 um open; the walls have lost nothing.
void let_floor_go(Frame& frame, const Mesh& mesh, int) {
  for (std::size_t f = 0; f < mesh.bond.size(); ++f)
    for (BondPoint& point : frame.bond[f])
      if (mesh.bond[f].wall == floor_wall) {
        point.strength_lost = 1;
        point.opening = 0.002;
      }
}

/// The filling has moved up by 2 um; the tooth has not moved.
void lift_filling(Frame& frame, const Mesh& mesh, int) {
  for (const auto& tetrahedron : mesh.tetrahedra)
    if (tetrahedron.region != 0)
      for (const int node : tetrahedron.nodes) frame.displacement(3 * node + 2) = 0.002;
}

std::string content(const std::filesystem::path& file) {
  std::ifstream stream(file, std::ios::binary);
  std::ostringstream text;
  text << stream.rdbuf();
  return text.str();
}

/// Area of a filled path of "M x y L x y ... Z" pieces [pixels2].
double area_of(const std::string& path) {
  double twice = 0;
  std::istringstream pieces(path);
  for (std::string piece; std::getline(pieces, piece, 'Z');) {
    for (char& c : piece)
      if (c == 'M' || c == 'l') c = ' ';
    std::istringstream numbers(piece);
    std::vector<std::array<double, 2>> corners;
    for (std::array<double, 2> at{}, step{}; numbers >> step[0] >> step[1];)  // each from the one before
      corners.push_back(at = {at[0] + step[0], at[1] + step[1]});
    double own = 0;  // holes turn the other way
    for (std::size_t c = 0; c < corners.size(); ++c) {
      const auto &from = corners[c], &to = corners[(c + 1) % corners.size()];
      own += from[0] * to[1] - from[1] * to[0];
    }
    twice += own;
  }
  return std::abs(twice) / 2;
}

int shell(const std::string& command) {
  return std::system(command.c_str());
}

}  // namespace

TEST_CASE("every scale darkens steadily and is labelled at both ends", "[viz][slides]") {
  for (const viz::Scale& scale :
       {viz::ratio_scale(2.5), viz::strength_lost_scale(), viz::gap_scale(3), viz::displacement_scale(12),
        viz::conversion_scale(), viz::stress_scale(40), viz::pull_scale(20), viz::shear_scale(20)}) {
    CAPTURE(scale.name());
    CHECK(scale.name() == scale.quantity + (scale.key == "ratio" ? "" : " [" + scale.unit + "]"));
    for (double share = 0; share < 0.989; share += 0.01)
      CHECK(lightness(scale.colour(scale.top * (share + 0.01))) < lightness(scale.colour(scale.top * share)));
    CHECK(viz::ticks_of(scale).front() == 0);
    CHECK(viz::ticks_of(scale).back() == scale.top);
  }
  CHECK(viz::round_up(2.1) == 2.4);
  CHECK(viz::round_up(9) == 10);
  CHECK_THAT(viz::round_up(0.034), WithinRel(0.04, 1e-12));
}

TEST_CASE("pressure that the mesh alone can make fades into the colour of zero", "[viz][slides]") {
  const viz::Scale scale = viz::stress_scale(40);
  const Colour zero = scale.colour(0), grey = scale.colour(-2.01);
  for (std::size_t c = 0; c < 3; ++c) {
    CHECK_THAT(scale.colour(-0.05)[c], WithinAbs(zero[c], 0.02));
    CHECK_THAT(grey[c], WithinAbs(grey[0], 0.005));
  }
  CHECK(lightness(scale.colour(-1.99)) > lightness(grey) + 10);  // the step is where the legend says
  CHECK(scale.low < -2);                                         // and grey is in the legend
}

TEST_CASE("an area given as triangles has one outline, holes among them", "[viz][slides]") {
  const auto square = [](double x, double y) {
    return std::vector<std::vector<viz::FlatPoint>>{{{x, y}, {x + 10, y}, {x + 10, y + 10}},
                                                    {{x, y}, {x + 10, y + 10}, {x, y + 10}}};
  };
  std::vector<std::vector<viz::FlatPoint>> ring;
  for (const double x : {0, 10, 20})
    for (const double y : {0, 10, 20})
      if (x != 10 || y != 10) std::ranges::copy(square(x, y), std::back_inserter(ring));
  const auto outlines = viz::outlines_of(ring, 0.1);
  REQUIRE(outlines.size() == 2);
  double area = 0;
  for (const auto& outline : outlines) {
    CHECK(outline.size() <= 5);  // straight sides: corners alone, and where the line begins
    for (std::size_t c = 0; c < outline.size(); ++c) {
      const auto &from = outline[c], &to = outline[(c + 1) % outline.size()];
      area += (from[0] * to[1] - from[1] * to[0]) / 2;
    }
  }
  CHECK_THAT(area, WithinAbs(800, 1e-6));
}

TEST_CASE("pieces that meet end to end are one line, and end where others meet them", "[viz][slides]") {
  using Lines = std::vector<std::vector<viz::FlatPoint>>;
  Lines pieces;
  for (const int x : {30, 0, 20, 10})  // a hatch cut into four, in any order and either way
    pieces.push_back(x % 20 == 0 ? std::vector<viz::FlatPoint>{{1.0 * x, 5}, {x + 10.0, 5}}
                                 : std::vector<viz::FlatPoint>{{x + 10.0, 5}, {1.0 * x, 5}});
  CHECK(viz::joined_lines(pieces, 0.1).size() == 1);
  CHECK(viz::joined_lines(pieces, 0.1).front().size() == 2);
  pieces.push_back({{20, 5}, {20, 15}});
  CHECK(viz::joined_lines(pieces, 0.1).size() == 3);
  const Lines ring = viz::joined_lines(
      {{{0, 0}, {10, 0}}, {{10, 10}, {10, 0}}, {{10, 10}, {0, 10}}, {{0, 0}, {0, 10}}}, 0.1);
  REQUIRE(ring.size() == 1);
  CHECK(ring.front().size() == 5);
  CHECK(ring.front().front() == ring.front().back());
}

TEST_CASE("a heading keeps its time and fits its panel, however long the name", "[viz][slides]") {
  const std::string name =
      "deep proximal box in two oblique layers of µ-filled composite after a wait of five minutes";
  const std::string heading = viz::named_instant(name, "At the end: 17 min 50 s", 2);
  CHECK(heading.ends_with("at the end: 17 min 50 s"));
  const viz::TextStyle style = viz::fitted(heading, {.size = 21, .bold = true}, 400);
  CHECK(viz::text_width(heading, style) <= 400);
  CHECK(style.size > 8);
  CHECK(viz::fitted("short", {.size = 21}, 400).size == 21);
  CHECK(viz::text_width("µ", {.size = 10}) == viz::text_width("0", {.size = 10}));
  CHECK(viz::shortened("µµµ", 2) == "µµ...");
}

TEST_CASE("a gap and the strength lost have their own colours", "[viz][slides]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), let_floor_go);
  PictureOptions options{.width = 1000, .scale_top = 4, .moment = Moment::end, .field = BondField::gap};
  draw_bond(result, scratch / "gap.png", options);
  const auto gap = read_png(scratch / "gap.png");
  CHECK(count_of(gap, viz::gap_scale(4).colour(2)) > 1500);
  CHECK(count_of(gap, viz::gap_scale(4).colour(0)) > 4000);
  options.field = BondField::strength_lost;
  draw_bond(result, scratch / "lost.png", options);
  const auto lost = read_png(scratch / "lost.png");
  CHECK(count_of(lost, viz::strength_lost_scale().colour(100)) > 1500);
  CHECK(count_of(lost, viz::strength_lost_scale().colour(0)) > 4000);
}

TEST_CASE("walls laid open alone are true to scale", "[viz][slides]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1.6, 0.4, 0.4, 0.4});
  draw_walls({result}, {"box"}, scratch / "walls.png", {.width = 1200, .time = 300, .scale_top = 2});
  const auto image = read_png(scratch / "walls.png");
  const double floor = count_of(image, ratio_colour(1.6, 2)), walls = count_of(image, ratio_colour(0.4, 2));
  CHECK_THAT(floor / walls, WithinAbs(8.0 / 24, 0.03));  // lines and the name on the floor take a little
}

TEST_CASE("walls laid open as SVG hold names, unit, caution and the areas of their bands", "[viz][slides]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1.6, 0.4, 0.4, 0.4});
  draw_walls({result}, {"box"}, scratch / "walls.svg", {.width = 1200, .time = 300, .scale_top = 2});
  const std::string text = content(scratch / "walls.svg");
  for (const char* words :
       {">floor<", ">axial<", ">buccal<", ">lingual<", "stress-to-strength ratio<", ">1 mm<",
        ">occlusal rim<", ">open side<", "bond strength reached", "not a medical device"})
    CHECK_THAT(text, Contains(words));
  const auto root =
      vtkSmartPointer<vtkXMLDataElement>::Take(vtkXMLUtilities::ReadElementFromString(text.c_str()));
  REQUIRE(root != nullptr);
  double whole = 0, above = 0;
  for (int e = 0; e < root->GetNumberOfNestedElements(); ++e) {
    vtkXMLDataElement* element = root->GetNestedElement(e);
    const std::string path = element->GetAttribute("d") == nullptr ? "" : element->GetAttribute("d");
    const std::string fill = element->GetAttribute("fill") == nullptr ? "" : element->GetAttribute("fill");
    constexpr double larger_than_swatches = 3000;  // [pixels2]
    if (fill == "none" || area_of(path) < larger_than_swatches) continue;
    if (whole == 0) whole = area_of(path);  // the lowest band lies under all
    above = area_of(path);                  // the highest one that is there: the floor alone
  }
  CHECK_THAT(above / whole, WithinAbs(8.0 / 32, 1e-3));  // a tenth of a pixel in the file
}

TEST_CASE("walls laid open as PDF are one page with its objects where the table says", "[viz][slides]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1.6, 0.4, 0.4, 0.4});
  draw_walls({result, result}, {"(a)", "b"}, scratch / "walls.pdf", {.width = 1200, .moment = Moment::end});
  const std::string text = content(scratch / "walls.pdf");
  CHECK_THAT(text, StartsWith("%PDF-1.4"));
  CHECK_THAT(text, Contains("(floor) Tj") && Contains("(\\(a\\)) Tj") && Contains("not a medical device"));
  const std::size_t table = std::stoul(text.substr(text.find("startxref") + 10));
  CHECK(text.substr(table, 4) == "xref");
  const std::size_t first = text.find(" 00000 n", table);
  CHECK(text.substr(std::stoul(text.substr(first - 10, 10)), 7) == "1 0 obj");
}

TEST_CASE("walls laid open are refused under another ending", "[viz][slides]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1, 1, 1, 1});
  CHECK_THROWS_WITH(draw_walls({result}, {"box"}, scratch / "walls.eps"),
                    Contains("\"walls.eps\" ends in none"));
  CHECK_THROWS_WITH(draw_walls({result}, {"box"}, scratch / "walls.png", {.time = 900}),
                    Contains("holds nothing at 15 min") && Contains("from 5 min to 5 min 20 s"));
}

TEST_CASE("tooth and filling are coloured by how far they moved", "[viz][slides]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), lift_filling);
  draw_deformed({result}, {"box"}, scratch / "deformed.png",
                {.width = 800, .magnification = 100, .scale_top = 4});
  const auto image = read_png(scratch / "deformed.png");
  CHECK(count_of(image, viz::displacement_scale(4).colour(0)) > 20000);  // the block
  CHECK(count_of(image, viz::displacement_scale(4).colour(2)) > 5000);   // the filling, from outside
}

TEST_CASE("a film has the frames that its clock asks for, and moves", "[viz][slides]") {
  const ScratchFolder scratch;
  const Result result = write_box_result(scratch.path(), {1.6, 0.4, 0.8, 1.2});
  double share = 0;
  AnimationOptions options{.width = 800, .frames_per_second = 2, .pause_at_jump = 0.5};
  options.progress = [&](double done) { share = done; };
  animate({result, result}, {"a", "b"}, scratch / "film.mp4", options);
  CHECK(share == 0.5);  // told before each of the two scenes
  const std::string raw = (scratch / "film.raw").string();
  REQUIRE(shell("ffmpeg -loglevel error -i " + (scratch / "film.mp4").string() +
                " -f rawvideo -pix_fmt gray " + raw) == 0);
  const std::string frames = content(raw);
  // Half a second at 300 s, half a second at the jump to 320 s and two seconds to read the end: 6 frames.
  constexpr std::size_t count = 6;
  REQUIRE(frames.size() % count == 0);
  const std::size_t size = frames.size() / count;
  CHECK(size % 800 == 0);
  CHECK(size / 800 > 400);
  std::size_t differing = 0;
  for (std::size_t p = 0; p < size; ++p)
    differing += std::abs(static_cast<unsigned char>(frames[p]) -
                          static_cast<unsigned char>(frames[(count - 1) * size + p])) > 40
                     ? 1
                     : 0;
  CHECK(differing > size / 100);  // the ratios halve: walls change colour
}

TEST_CASE("a film stays with a bite", "[viz][slides]") {
  const ScratchFolder scratch;
  const auto length_of = [&](const std::string& name, const std::string& event) {
    std::filesystem::create_directory(scratch / name);
    const Result result = write_box_result(scratch / name, [&](Frame& frame, const Mesh&, int instant) {
      frame.time = 300 + 0.3 * instant;
      if (instant == 1) frame.event = event;
    });
    animate({result}, {"a"}, scratch / (name + ".mp4"),
            {.width = 400, .frames_per_second = 2, .pause_at_jump = 4});
    const std::string raw = (scratch / (name + ".raw")).string();
    REQUIRE(shell("ffmpeg -loglevel error -i " + (scratch / (name + ".mp4")).string() +
                  " -f rawvideo -pix_fmt gray " + raw) == 0);
    return std::filesystem::file_size(raw);
  };
  // Four seconds at the first instant, the shortest there is at the second, two to read the end: 8 + 1 + 4
  // frames. With a bite the second stays half as long as the first: 8 + 4 + 4.
  CHECK(13 * length_of("bitten", "bite 1 full") == 16 * length_of("still", ""));
}
