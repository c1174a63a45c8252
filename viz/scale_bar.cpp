#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "viz/bond_scene.hpp"

namespace setstress::viz {
namespace {

/// The coloured bar with its ticks; the last label says that the scale ends but values may not.
void draw_bar(Canvas& canvas, const Box& bar, const BondLook& look) {
  constexpr int steps = 240;
  for (int i = 0; i < steps; ++i) {
    const double left = bar.left + bar.width * i / steps, right = bar.left + bar.width * (i + 1) / steps;
    canvas.add_polygon({{left, bar.bottom}, {right, bar.bottom}, {right, bar.top()}, {left, bar.top()}},
                       ratio_colour(look.scale_top * (i + 0.5) / steps, look.scale_top));
  }
  canvas.add_frame(bar, look.pixel, canvas.ink());
  const double step = look.scale_top <= 2 ? 0.25 : look.scale_top <= 4 ? 0.5 : 1.0;
  for (double value = 0; value < look.scale_top + 1e-9; value += step) {
    const double x = bar.left + bar.width * value / look.scale_top;
    const bool last = value > look.scale_top - 1e-9;
    canvas.add_line(x, bar.bottom, x, bar.bottom - 6 * look.pixel, look.pixel, canvas.ink());
    canvas.add_text(x, bar.bottom - 16 * look.pixel, fmt::format("{:.3g}{}", value, last ? " or more" : ""),
                    {.size = 14 * look.pixel, .align = Align::centre});
  }
  const double one = bar.left + bar.width / look.scale_top;
  canvas.add_line(one, bar.bottom - 6 * look.pixel, one, bar.top() + 6 * look.pixel, 2.5 * look.pixel,
                  canvas.ink());
  canvas.add_text(one, bar.top() + 16 * look.pixel, "bond strength reached",
                  {.size = 15 * look.pixel, .align = Align::centre, .bold = true});
}

/// Swatch and meaning of one look; returns where the next goes.
double draw_key(Canvas& canvas, double left, double bottom, Looks looks, const BondLook& look) {
  const double unit = look.pixel;
  const Box swatch{left, bottom, 34 * unit, 20 * unit};
  const Colour fill = looks == Looks::let_go   ? from_lch(86, 0, 0)
                      : looks == Looks::losing ? ratio_colour(1, look.scale_top)
                                               : canvas.paper();
  canvas.add_polygon({{swatch.left, swatch.bottom},
                      {swatch.right(), swatch.bottom},
                      {swatch.right(), swatch.top()},
                      {swatch.left, swatch.top()}},
                     fill);
  if (looks != Looks::not_filled) canvas.add_hatched(swatch, (looks == Looks::let_go ? 8 : 18) * unit);
  canvas.add_frame(swatch, unit, canvas.ink());
  const char* meaning = looks == Looks::let_go   ? "debonded"
                        : looks == Looks::losing ? "losing strength"
                                                 : "not filled yet";
  canvas.add_text(swatch.right() + 8 * unit, bottom + 10 * unit, meaning, {.size = 15 * unit});
  return left + 180 * unit;
}

}  // namespace

void draw_ratio_bar(Canvas& canvas, const Box& box, const BondLook& look, const std::vector<Looks>& seen) {
  const double unit = look.pixel, middle = box.bottom + box.height / 2;
  canvas.add_text(box.left, middle + 9 * unit, "stress-to-strength ratio [-]",
                  {.size = 17 * unit, .bold = true});
  canvas.add_text(box.left, middle - 11 * unit, "load on the bond over its strength now",
                  {.size = 13 * unit, .faint = true});
  const Box bar{box.left + 290 * unit, middle - 8 * unit, std::min(700 * unit, box.width - 870 * unit),
                20 * unit};
  draw_bar(canvas, bar, look);
  double left = bar.right() + 60 * unit;
  for (const Looks looks : seen)
    if (looks != Looks::holding) left = draw_key(canvas, left, bar.bottom, looks, look);
}

}  // namespace setstress::viz
