#include "cases/lesson/box_drawing.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <stdexcept>

namespace setstress {

namespace {

constexpr double scale = 20;                // of a mm
constexpr double edge = 14, heading = 34;   // around each section
constexpr double between = 150, foot = 14;  // room for the names of the second section; below
constexpr double shown_root = 2;            // of the root, below the junction [mm]

/// One section: x runs from 0 to `width` [mm], z is height above the junction of crown and root [mm].
struct Pen {
  double left, top_z;
  std::string shapes = {};

  [[nodiscard]] double x(double mm) const { return left + scale * mm; }
  [[nodiscard]] double y(double z) const { return heading + scale * (top_z - z); }

  void polygon(const char* kind, std::initializer_list<std::pair<double, double>> corners) {
    std::string points;
    for (const auto& [across, z] : corners) points += fmt::format("{:.1f},{:.1f} ", x(across), y(z));
    shapes += fmt::format("<polygon class=\"{}\" points=\"{}\"/>", kind, points);
  }
  void line(double x0, double z0, double x1, double z1, const char* kind) {
    shapes += fmt::format(R"(<line class="{}" x1="{:.1f}" y1="{:.1f}" x2="{:.1f}" y2="{:.1f}"/>)", kind,
                          x(x0), y(z0), x(x1), y(z1));
  }
  void text(double across, double z, const char* anchor, const std::string& words, double turn = 0) {
    const std::string turned =
        turn == 0 ? "" : fmt::format(" transform=\"rotate({:.0f} {:.1f} {:.1f})\"", turn, x(across), y(z));
    shapes += fmt::format(R"(<text x="{:.1f}" y="{:.1f}" text-anchor="{}"{}>{}</text>)", x(across), y(z),
                          anchor, turned, words);
  }
};

/// Dentin with its cap and sides of enamel, which thin to nothing at the junction.
void draw_tooth(Pen& pen, const Tooth& tooth, double width) {
  const double top = tooth.crown_height, cap = top - tooth.occlusal_enamel, side = tooth.side_enamel;
  pen.polygon("dentin", {{0, -shown_root}, {0, top}, {width, top}, {width, -shown_root}});
  pen.polygon("enamel", {{0, 0}, {0, top}, {width, top}, {width, 0}, {width - side, cap}, {side, cap}});
  pen.line(0, 0, width, 0, "rule");
}

void draw_across(Pen& pen, const ToothCase& it) {
  const Preparation& box = it.preparation;
  const double top = it.tooth.crown_height, floor = top - box.depth, middle = 0.5 * it.tooth.width;
  const double half = 0.5 * box.width,
               wider = half + box.depth * std::tan(box.taper * std::numbers::pi / 180);
  draw_tooth(pen, it.tooth, it.tooth.width);
  pen.polygon("filling",
              {{middle - half, floor}, {middle - wider, top}, {middle + wider, top}, {middle + half, floor}});
  for (const double sign : {-1.0, 1.0})
    pen.line(middle + sign * half, floor, middle + sign * wider, top, "wall");
  pen.line(middle - half, floor, middle + half, floor, "wall");
  pen.text(middle, floor + 0.25, "middle", "floor");
  pen.text(middle - half + 0.35, floor + 2.4, "middle", "buccal wall", -90);
  pen.text(middle + half - 0.2, floor + 2.4, "middle", "lingual wall", -90);
  pen.text(0.15, 0.5 * floor - 0.75, "start", "dentin");
  pen.text(0.15, top - 0.65, "start", "enamel");
  pen.text(it.tooth.width + 0.15, -0.15, "start", "enamel ends");
  pen.text(middle, top + 0.7, "middle", "across the box, from its open side");
}

void draw_along(Pen& pen, const ToothCase& it) {
  const Preparation& box = it.preparation;
  const double top = it.tooth.crown_height, floor = top - box.depth;
  const double longer = box.length + box.depth * std::tan(box.taper * std::numbers::pi / 180);
  draw_tooth(pen, it.tooth, it.tooth.length);
  pen.polygon("filling", {{0, floor}, {0, top}, {longer, top}, {box.length, floor}});
  pen.line(0, floor, box.length, floor, "wall");
  pen.line(box.length, floor, longer, top, "wall");
  pen.text(0.5 * box.length, floor + 0.25, "middle", "floor");
  pen.text(box.length + 0.65, floor + 2.2, "middle", "axial wall", -90);
  pen.text(-0.2, floor + 2.3, "end", "open side");
  pen.text(-0.2, floor + 1.7, "end", "(mesial)");
  pen.text(0.5 * it.tooth.length, top + 0.7, "middle", "along the tooth");
}

}  // namespace

std::string box_drawing(const ToothCase& tooth) {
  if (tooth.preparation.kind != Preparation::Kind::proximal_box)
    throw std::invalid_argument("only a proximal box without step can be drawn");
  const double top = tooth.tooth.crown_height;
  Pen across{.left = edge, .top_z = top},
      along{.left = edge + scale * tooth.tooth.width + between, .top_z = top};
  draw_across(across, tooth);
  draw_along(along, tooth);
  const double width = along.x(tooth.tooth.length) + edge, height = across.y(-shown_root) + foot;
  return fmt::format(
      R"(<figure><svg class="box" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="Two sections of the tooth )"
      R"(with its box, to scale: {} mm deep, {} mm wide, {} mm long, names of its walls.">{}{}</svg>)"
      "<figcaption>The tooth and its box, to scale: the box is {} mm deep, {} mm wide and {} mm long. Thick "
      "lines are "
      "the bond, one name a wall; the composite between them is grey. Light comes from "
      "above.</figcaption></figure>\n",
      width, height, tooth.preparation.depth, tooth.preparation.width, tooth.preparation.length,
      across.shapes, along.shapes, tooth.preparation.depth, tooth.preparation.width,
      tooth.preparation.length);
}

}  // namespace setstress
