#include "viz/scenes/scale_bar.hpp"

#include <fmt/core.h>

#include <algorithm>

namespace setstress::viz {
namespace {

/// The coloured bar with its ticks; the last label says where values may lie beyond the end.
void draw_bar(Drawing& drawing, const Box& bar, const Scale& scale, double unit) {
  const auto place = [&](double value) {
    return bar.left + bar.width * (value - scale.low) / (scale.top - scale.low);
  };
  constexpr int steps = 240;
  for (int i = 0; i < steps; ++i) {
    const double from = scale.low + (scale.top - scale.low) * i / steps,
                 to = scale.low + (scale.top - scale.low) * (i + 1) / steps;
    // A little wider than its step: renderers of vector files leave seams otherwise.
    const double right = std::min(place(to) + (i + 1 < steps ? 0.5 * unit : 0), bar.right());
    drawing.add_box({place(from), bar.bottom, right - place(from), bar.height},
                    scale.colour((from + to) / 2));
  }
  drawing.add_frame(bar, unit, drawing.ink());
  for (const double value : ticks_of(scale)) {
    drawing.add_line(place(value), bar.bottom, place(value), bar.bottom - 6 * unit, unit, drawing.ink());
    drawing.add_text(place(value), bar.bottom - 16 * unit, tick_text(scale, value),
                     {.size = 14 * unit, .align = Align::centre});
  }
  if (!scale.below_zero.empty())
    drawing.add_text(bar.left, bar.top() + 14 * unit,
                     fmt::format("grey: {} by more than {:g} MPa", scale.below_zero, clear_pressure),
                     {.size = 13 * unit, .faint = true});
  if (!scale.mark) return;
  const double mark = place(*scale.mark);
  drawing.add_line(mark, bar.bottom - 6 * unit, mark, bar.top() + 6 * unit, 2.5 * unit, drawing.ink());
  drawing.add_text(mark, bar.top() + 16 * unit, scale.mark_text,
                   {.size = 15 * unit, .align = Align::centre, .bold = true});
}

/// Swatch and meaning of one look; returns where the next goes.
double draw_key(Drawing& drawing, double left, double bottom, Looks looks, double unit) {
  const Box swatch{left, bottom, 34 * unit, 20 * unit};
  drawing.add_box(swatch, looks == Looks::not_filled ? drawing.paper() : colour_of(looks));
  if (looks != Looks::not_filled) drawing.add_hatched(swatch, (looks == Looks::let_go ? 8 : 18) * unit);
  drawing.add_frame(swatch, unit, drawing.ink());
  const char* meaning = looks == Looks::let_go   ? "debonded"
                        : looks == Looks::losing ? "losing strength"
                                                 : "not filled yet";
  drawing.add_text(swatch.right() + 8 * unit, bottom + 10 * unit, meaning, {.size = 15 * unit});
  return left + 180 * unit;
}

}  // namespace

Colour colour_of(Looks looks) {
  return looks == Looks::losing ? ratio_colour(1, 2) : from_lch(86, 0, 0);
}

double draw_scale_bar(Drawing& drawing, const Box& box, const Scale& scale, double unit,
                      const std::vector<Looks>& seen) {
  const double middle = box.bottom + box.height / 2;
  drawing.add_text(box.left, middle + 9 * unit, scale.name(),
                   fitted(scale.name(), {.size = 17 * unit, .bold = true}, 330 * unit));
  const std::string note = scale.line.empty() ? scale.note : scale.note + "; line: " + scale.line;
  drawing.add_text(box.left, middle - 11 * unit, note,
                   fitted(note, {.size = 13 * unit, .faint = true}, 330 * unit));
  const Box bar{box.left + 350 * unit, middle - 8 * unit, std::min(640 * unit, box.width - 900 * unit),
                20 * unit};
  draw_bar(drawing, bar, scale, unit);
  double left = bar.right() + 70 * unit;
  for (const Looks looks : seen)
    if (looks != Looks::holding) left = draw_key(drawing, left, bar.bottom, looks, unit);
  return left;
}

}  // namespace setstress::viz
