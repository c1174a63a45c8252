#include "viz/drawing/drawing.hpp"

#include <algorithm>

namespace setstress::viz {

Colour Drawing::paper() const {
  return background_ == Background::dark ? Colour{0.09, 0.10, 0.12} : Colour{1, 1, 1};
}
Colour Drawing::ink() const {
  return background_ == Background::dark ? Colour{0.93, 0.93, 0.93} : Colour{0.1, 0.1, 0.12};
}
Colour Drawing::faint_ink() const {
  return background_ == Background::dark ? Colour{0.68, 0.68, 0.7} : Colour{0.38, 0.38, 0.4};
}

Colour Drawing::outline() const {
  return background_ == Background::dark ? from_lch(60, 0, 0) : from_lch(8, 0, 0);
}

void Drawing::add_line(double x0, double y0, double x1, double y1, double line_width, const Colour& colour) {
  add_path({{x0, y0}, {x1, y1}}, line_width, colour);
}

void Drawing::add_box(const Box& box, const Colour& colour) {
  add_polygon(
      {{box.left, box.bottom}, {box.right(), box.bottom}, {box.right(), box.top()}, {box.left, box.top()}},
      colour);
}

void Drawing::add_frame(const Box& box, double line_width, const Colour& colour) {
  add_path({{box.left, box.bottom},
            {box.right(), box.bottom},
            {box.right(), box.top()},
            {box.left, box.top()},
            {box.left, box.bottom}},
           line_width, colour);
}

void Drawing::add_hatched(const Box& box, double spacing) {
  for (double start = spacing - box.height; start < box.width; start += spacing) {
    const double from = std::max(0.0, start), to = std::min(box.width, start + box.height);
    add_line(box.left + from, box.bottom + from - start, box.left + to, box.bottom + to - start, 1.5,
             {0.1, 0.1, 0.12});
  }
}

}  // namespace setstress::viz
