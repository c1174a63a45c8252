// Waits and light of a plan on one scale for all plans. What can be changed can be dragged; the same numbers stand below it.

import { svg } from "../src/element.js";
import { spoken } from "./controls.js";

const LEFT = 8;
const WIDE = 584;
const HIGH = 78;

/** Something that is dragged sideways: `words(seconds)` while it is, `done(seconds)` after it. */
function handle(shape, { seconds, step, least, perSecond, words, done }) {
  const group = svg("g", { class: "drag" }, shape);
  const told = svg("text", { y: 12, class: "told" });
  group.append(told);
  let from = null;
  const valueAt = ({ clientX }) => Math.max(least, step * Math.round((seconds + (clientX - from.clientX) / group.ownerSVGElement.getScreenCTM().a / perSecond) / step));
  group.addEventListener("pointerdown", (event) => { from = event; group.setPointerCapture(event.pointerId); event.preventDefault(); });
  group.addEventListener("pointermove", (event) => {
    if (!from) return;
    const now = valueAt(event);
    const moved = (now - seconds) * perSecond;
    shape.setAttribute("transform", `translate(${moved.toFixed(1)})`);
    const x = Number(shape.dataset.x) + moved;
    told.setAttribute("x", Math.min(LEFT + WIDE, Math.max(LEFT, x)));
    told.setAttribute("text-anchor", x > WIDE / 2 ? "end" : "start");
    told.textContent = words(now);
  });
  group.addEventListener("pointerup", (event) => {
    if (!from) return;
    const now = valueAt(event);
    from = null;
    if (now !== seconds) done(now);
  });
  return group;
}

/** `waits(entry)` and `lights(entry, number of the exposure)`: {seconds, done(seconds)} of what may be dragged there, or null. */
export function drawTimeline(facts, longest, letter, waits, lights) {
  const perSecond = WIDE / longest;
  const x = (seconds) => LEFT + perSecond * seconds;
  const seen = new Set();
  const parts = [svg("rect", { x: LEFT, y: 41, width: Math.max(0, x(facts.chair_time_s) - LEFT), height: 4, class: "wait" })];
  const handles = [];
  facts.increments.forEach(({ entry, placed_s: placed, exposures }, i) => {
    parts.push(svg("line", { x1: x(placed), x2: x(placed), y1: 20, y2: 52, class: "line" }), svg("text", { x: x(placed) + 3, y: 30 }, i + 1));
    for (const { start_s: start, duration_s: duration } of exposures)
      parts.push(svg("rect", { x: x(start), y: 36, width: Math.max(2, perSecond * duration), height: 14, class: "light" }));
    const first = !seen.has(entry);
    const wait = first ? waits(entry) : null;
    if (wait)
      handles.push(handle(svg("path", { d: `M${x(placed)} 52 l-8 14 h16 z`, "data-x": x(placed), class: "grip" }), { ...wait, step: 5, least: 0, perSecond, words: (now) => `wait ${spoken(now)} before increment ${i + 1}` }));
    for (const [k, { start_s: start, duration_s: duration }] of first ? exposures.entries() : []) {
      const light = lights(entry, k + 1);
      if (!light) continue;
      const end = x(start + duration);
      handles.push(handle(svg("rect", { x: end - 4, y: 32, width: 8, height: 22, rx: 3, "data-x": end, class: "grip light-grip" }), { ...light, step: 1, least: 1, perSecond, words: (now) => `light ${spoken(now)}` }));
    }
    seen.add(entry);
  });
  return svg("svg", { viewBox: `0 0 600 ${HIGH}`, role: "img", class: "timeline", "aria-label": `Time line of plan ${letter}: ${facts.timeline.map(({ time_s, event }) => `${spoken(time_s)}: ${event}`).join("; ")}` },
    parts, handles, svg("text", { x: LEFT, y: HIGH - 4 }, x(facts.increments[0].placed_s) > 140 ? "bond cured" : ""), svg("text", { x: Math.min(x(facts.chair_time_s), LEFT + WIDE), y: HIGH - 4, "text-anchor": "end" }, spoken(facts.chair_time_s)));
}
