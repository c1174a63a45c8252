// The box and what fills it, drawn to scale from numbers: a section from lingual to buccal, seen from mesial.

import { svg } from "../src/element.js";

const PIXELS = 34; // per mm

/** The part of a polygon on the side of a plane that its normal points away from (`below`) or to; [y, z]. */
function clipped(polygon, { point, normal }, below) {
  const side = ([y, z]) => (below ? -1 : 1) * ((y - point[1]) * normal[1] + (z - point[2]) * normal[2]);
  return polygon.flatMap((a, i) => {
    const b = polygon[(i + 1) % polygon.length];
    const [sa, sb] = [side(a), side(b)];
    const crossing = sa * sb < 0 ? [a.map((each, c) => each + (b[c] - each) * (sa / (sa - sb)))] : [];
    return [...(sa >= 0 ? [a] : []), ...crossing];
  });
}

/** Outlines of the increments, in the order of placing. */
export function sections(facts) {
  const { floor_mm: floor, top_mm: top, half_width_mm: half, centre_y_mm: centre, spread } = facts;
  const wide = half + spread * (top - floor);
  let left = [[centre - half, floor], [centre + half, floor], [centre + wide, top], [centre - wide, top]];
  return facts.increments.map(({ plane }) => {
    const own = plane ? clipped(left, plane, true) : left;
    if (plane) left = clipped(left, plane, false);
    return own;
  });
}

export function drawSection(facts, letter) {
  const value = (key) => facts.values[key]?.value;
  const half = (value("tooth.width") ?? 9) / 2;
  const crown = value("tooth.crown_height") ?? facts.top_mm;
  const below = Math.min(facts.floor_mm, 0) - 1.5;
  const at = ([y, z]) => `${((y + half) * PIXELS + 10).toFixed(1)},${((crown - z) * PIXELS + 26).toFixed(1)}`;
  const shape = (points, look) => svg("polygon", { points: points.map(at).join(" "), class: look });
  const [cap, shell] = [value("tooth.occlusal_enamel") ?? 0, value("tooth.side_enamel") ?? 0];
  const parts = sections(facts);
  const middle = (points) => [0, 1].map((c) => points.reduce((sum, point) => sum + point[c], 0) / points.length);
  const labels = parts.map((points, i) => {
    if (!points.length) return null;
    const [x, y] = at(middle(points)).split(",").map(Number);
    return svg("text", { x, y: y + 5, class: "inside" }, i + 1);
  });
  const edge = (z) => Number(at([0, z]).split(",")[1]);
  const width = 2 * half * PIXELS + 20;
  return svg("svg", { viewBox: `0 0 ${width} ${(crown - below) * PIXELS + 44}`, role: "img",
    "aria-label": `Section of plan ${letter}: ${parts.length} increment${parts.length > 1 ? "s" : ""}; the floor lies ${floorWords(facts)}.` },
  shape([[-half, crown], [half, crown], [half, below], [-half, below]], "dentin"),
  shape([[-half, crown], [half, crown], [half, 0], [half - shell, crown - cap], [-half + shell, crown - cap], [-half, 0]], "enamel"),
  parts.map((points, i) => shape(points, `${i % 2 ? "even" : "odd"} cavity-part`)), labels,
  svg("line", { x1: 0, x2: width, y1: edge(0), y2: edge(0), class: "junction" }),
  svg("text", { x: 12, y: edge(0) - 6 }, "junction"),
  svg("text", { x: 12, y: 18 }, "lingual"), svg("text", { x: width - 12, y: 18, "text-anchor": "end" }, "buccal"));
}

/** "1.2 mm below the junction". */
export function floorWords({ floor_mm: floor }) {
  return Math.abs(floor) < 0.005 ? "at the junction" : `${Math.abs(floor).toFixed(1)} mm ${floor < 0 ? "below the junction, on root" : "above the junction"}`;
}

export const spoken = (seconds) => {
  const whole = Math.round(seconds);
  const minutes = Math.floor(whole / 60);
  return minutes ? `${minutes} min${whole % 60 ? ` ${whole % 60} s` : ""}` : `${whole} s`;
};

/** Waits and light of a plan on one scale for all plans. */
export function drawTimeline(facts, longest, letter) {
  const x = (seconds) => 6 + (588 * seconds) / longest;
  const bars = facts.increments.flatMap(({ placed_s: placed, exposures }, i) => [
    svg("line", { x1: x(placed), x2: x(placed), y1: 8, y2: 40, class: "line" }),
    svg("text", { x: x(placed) + 3, y: 20 }, i + 1),
    ...exposures.map(({ start_s: start, duration_s: duration }) => svg("rect", { x: x(start), y: 26, width: Math.max(2, x(start + duration) - x(start)), height: 14, class: "light" }))]);
  return svg("svg", { viewBox: "0 0 600 62", role: "img", "aria-label": `Time line of plan ${letter}: ${facts.timeline.map(({ time_s, event }) => `${spoken(time_s)}: ${event}`).join("; ")}` },
    svg("rect", { x: 6, y: 31, width: x(facts.chair_time_s) - 6, height: 4, class: "wait" }), bars,
    svg("text", { x: 6, y: 58 }, "bond cured"), svg("text", { x: Math.min(x(facts.chair_time_s), 594), y: 58, "text-anchor": "end" }, spoken(facts.chair_time_s)));
}
