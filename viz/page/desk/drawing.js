// The box and what fills it, drawn to scale from numbers: a section from lingual to buccal, seen from mesial, with the lamps.

import { svg } from "../src/element.js";

const PIXELS = 34; // per mm
const LAMP = { wide: 2.6, high: 1.1 }; // [mm]
const FARTHEST = 12; // [mm] that a lamp is drawn away

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

/** Where a lamp stands: its places, what one reads, and how a drag of [x, y] mm on the paper changes its gap. */
function lampAt({ from, gap }, half, crown, middle) {
  const away = Math.min(gap, FARTHEST);
  if (from === "occlusal") return { corners: [[middle - LAMP.wide / 2, crown + away], [middle + LAMP.wide / 2, crown + away], [middle + LAMP.wide / 2, crown + away + LAMP.high], [middle - LAMP.wide / 2, crown + away + LAMP.high]], towards: [0, -1] };
  const sign = { buccal: 1, lingual: -1 }[from];
  if (!sign) return null;
  const [near, far] = [sign * (half + away), sign * (half + away + LAMP.high)];
  return { corners: [[near, crown - 0.4], [near, crown - 0.4 - LAMP.wide], [far, crown - 0.4 - LAMP.wide], [far, crown - 0.4]], towards: [sign, 0] };
}

/** `lamps`: [{from, gap, words, moved(gap)}]; `moved` where the lamp may be dragged. */
export function drawSection(facts, letter, lamps = []) {
  const value = (key) => facts.values[key]?.value;
  const half = (value("tooth.width") ?? 9) / 2;
  const crown = value("tooth.crown_height") ?? facts.top_mm;
  const below = Math.min(facts.floor_mm, 0) - 1.5;
  const placed = lamps.map((lamp) => ({ lamp, at: lampAt(lamp, half, crown, facts.centre_y_mm) })).filter(({ at }) => at);
  const above = Math.max(0, ...placed.map(({ at }) => Math.max(...at.corners.map(([, z]) => z)) - crown));
  const beside = Math.max(0, ...placed.map(({ at }) => Math.max(...at.corners.map(([y]) => Math.abs(y))) - half));
  const at = ([y, z]) => [(y + half + beside) * PIXELS + 10, (crown + above - z) * PIXELS + 26];
  const shape = (points, look) => svg("polygon", { points: points.map((point) => at(point).map((each) => each.toFixed(1)).join()).join(" "), class: look });
  const [cap, shell] = [value("tooth.occlusal_enamel") ?? 0, value("tooth.side_enamel") ?? 0];
  const parts = sections(facts);
  const middle = (points) => [0, 1].map((c) => points.reduce((sum, point) => sum + point[c], 0) / points.length);
  const labels = parts.map((points, i) => {
    if (!points.length) return null;
    const [x, y] = at(middle(points));
    return svg("text", { x, y: y + 5, class: "inside" }, i + 1);
  });
  const edge = at([0, 0])[1];
  const width = 2 * (half + beside) * PIXELS + 20;
  const drawing = svg("svg", { viewBox: `0 0 ${width} ${(crown + above - below) * PIXELS + 44}`, role: "img", class: "section",
    "aria-label": `Section of plan ${letter}: ${parts.length} increment${parts.length > 1 ? "s" : ""}; the floor lies ${floorWords(facts)}.` },
  shape([[-half, crown], [half, crown], [half, below], [-half, below]], "dentin"),
  shape([[-half, crown], [half, crown], [half, 0], [half - shell, crown - cap], [-half + shell, crown - cap], [-half, 0]], "enamel"),
  parts.map((points, i) => shape(points, `${i % 2 ? "even" : "odd"} cavity-part`)), labels,
  svg("line", { x1: 0, x2: width, y1: edge, y2: edge, class: "junction" }),
  svg("text", { x: 12, y: edge - 6 }, "junction"),
  svg("text", { x: 12, y: 18 }, "lingual"), svg("text", { x: width - 12, y: 18, "text-anchor": "end" }, "buccal"));
  for (const { lamp, at: place } of placed) drawing.append(drawLamp(lamp, place, at, shape));
  return drawing;
}

function drawLamp({ gap, words, moved }, { corners, towards }, at, shape) {
  const [x, y] = at([0, 1].map((c) => corners.reduce((sum, corner) => sum + corner[c], 0) / 4));
  const label = svg("text", { x, y: y + 5, class: "lamp-words" }, words(gap));
  const group = svg("g", { class: moved ? "lamp drag" : "lamp" }, shape(corners, "light"), label);
  if (!moved) return group;
  let from = null;
  const gapAt = ({ clientX, clientY }) => {
    const matrix = group.ownerSVGElement.getScreenCTM();
    const along = ((clientX - from.clientX) * towards[0]) / matrix.a + ((clientY - from.clientY) * towards[1]) / matrix.d;
    return Math.min(FARTHEST, Math.max(0, Math.round(2 * (gap + along / PIXELS)) / 2));
  };
  group.addEventListener("pointerdown", (event) => { from = event; group.setPointerCapture(event.pointerId); event.preventDefault(); });
  group.addEventListener("pointermove", (event) => {
    if (!from) return;
    const now = gapAt(event);
    label.textContent = words(now);
    group.setAttribute("transform", `translate(${towards.map((each) => each * (now - gap) * PIXELS).join()})`);
  });
  group.addEventListener("pointerup", (event) => {
    if (!from) return;
    const now = gapAt(event);
    from = null;
    if (now !== gap) moved(now);
  });
  return group;
}

/** "1.2 mm below the junction". */
export function floorWords({ floor_mm: floor }) {
  return Math.abs(floor) < 0.005 ? "at the junction" : `${Math.abs(floor).toFixed(1)} mm ${floor < 0 ? "below the junction, on root" : "above the junction"}`;
}
