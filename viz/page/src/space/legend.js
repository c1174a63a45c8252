// The bar of the colour scale, with its unit.

import { element, svg } from "../element.js";
import { withUnit } from "../walls/measures.js";
import { colourOf } from "./scales.js";
import { shortNumber } from "../words.js";

/** From 0 to the top in quarters; where a value is marked, it is among them. */
function ticksOf({ top }, field) {
  const step = field.mark ? 0.25 : top / 4;
  return Array.from({ length: Math.round(top / step) + 1 }, (_, i) => i * step);
}

export function drawLegend(box, field, range, looks) {
  const width = Math.max(240, Math.min(620, box.clientWidth || 360));
  const left = 10;
  const long = width - left - 46;
  const x = (value) => left + (long * (value - range.low)) / (range.top - range.low);
  const bar = svg("svg", { width, height: 62, viewBox: `0 0 ${width} 62`, role: "img",
    "aria-label": `Colour scale of ${field.quantity}, 0 to ${shortNumber(range.top)} ${field.unit}` });
  const parts = 200;
  for (let i = 0; i < parts; ++i) {
    const value = range.low + ((i + 0.5) / parts) * (range.top - range.low);
    bar.append(svg("rect", { x: left + (long * i) / parts, y: 20, width: long / parts + 0.6, height: 16,
      fill: colourOf(field, range, value) }));
  }
  bar.append(svg("rect", { x: left, y: 20, width: long, height: 16, class: "frame" }));
  const ticks = ticksOf(range, field);
  ticks.forEach((value, i) => {
    bar.append(svg("line", { x1: x(value), x2: x(value), y1: 36, y2: 41, class: "ink" }));
    const last = i === ticks.length - 1 && field.open_ended;
    bar.append(svg("text", { x: x(value), y: 54, "text-anchor": "middle" }, `${shortNumber(value)}${last ? " or more" : ""}`));
  });
  if (range.low < 0) bar.append(svg("text", { x: left, y: 14, class: "faint" }, `grey: ${field.below_zero} by more than ${field.clear_pressure} MPa`));
  if (field.mark) {
    bar.append(svg("line", { x1: x(field.mark), x2: x(field.mark), y1: 16, y2: 41, class: "one" }));
    bar.append(svg("text", { x: x(field.mark), y: 12, "text-anchor": "middle", class: "strong" }, field.mark_text));
  }
  const key = (name, text) => element("span", { class: "key" }, element("i", { class: `swatch ${name}` }), text);
  box.replaceChildren(
    element("p", { class: "legend-title" }, element("strong", {}, withUnit(field.quantity, field.unit)), ` ${field.note}`),
    bar,
    element("p", { class: "keys" }, looks.includes("losing") ? key("losing", "losing strength") : null, looks.includes("debonded") ? key("debonded", "debonded") : null,
      looks.includes("empty") ? key("empty", "not filled yet") : null));
}
