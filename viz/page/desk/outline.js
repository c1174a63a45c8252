// A light outline of tooth and hole from their numbers, for the moment in which a slider is held: edges without rounding.

const CHORDS = 24;

const radians = (degrees) => (degrees * Math.PI) / 180;

/** Corners of a rectangle at a level. */
const rectangle = ([x0, x1, y0, y1], z) => [[x0, y0, z], [x1, y0, z], [x1, y1, z], [x0, y1, z]];
const circle = ([x, y, r], z) => Array.from({ length: CHORDS }, (_, i) => {
  const angle = (2 * Math.PI * i) / CHORDS;
  return [x + r * Math.cos(angle), y + r * Math.sin(angle), z];
});

/** Lines around two levels, and from corner to corner (`risers` of them). */
function cage(bottom, top, risers) {
  const around = (points) => points.flatMap((point, i) => [point, points[(i + 1) % points.length]]);
  const every = bottom.length / risers;
  return [...around(bottom), ...around(top), ...Array.from({ length: risers }, (_, i) => [bottom[i * every], top[i * every]]).flat()];
}

/** [x0, x1, y0, y1] of floors [mm], with their levels. */
function boxes(value, length) {
  const kind = value("preparation.kind");
  const [x, y] = [value("preparation.offset_x") ?? 0, value("preparation.offset_y") ?? 0];
  const across = (width) => [y - width / 2, y + width / 2];
  const floor = value("tooth.crown_height") - value("preparation.depth");
  const long = value("preparation.length");
  const own = across(value("preparation.width"));
  if (kind === "occlusal-box") return [{ base: [x - long / 2, x + long / 2, ...own], floor, open: [] }];
  if (kind === "through-box") return [{ base: [-length / 2, length / 2, ...own], floor, open: [0, 1] }];
  const mesial = value("preparation.side") !== "distal";
  const sided = ([from, to], rest) => (mesial ? [from, to, ...rest] : [-to, -from, ...rest]);
  const open = [mesial ? 0 : 1];
  const box = { base: sided([-length / 2, -length / 2 + long], own), floor, open };
  if (kind !== "proximal-box-with-step") return [box];
  const end = -length / 2 + long + (value("preparation.step_length") ?? 3);
  return [box, { base: sided([-length / 2, end], across(value("preparation.step_width") ?? 2.5)), floor: value("tooth.crown_height") - (value("preparation.step_depth") ?? 2), open }];
}

/** Pairs of points [mm], flat; `value(key)` as in the case file. */
export function outlineOf(value) {
  const [length, width, crown, root] = ["length", "width", "crown_height", "root_depth"].map((key) => value(`tooth.${key}`));
  const block = [-length / 2, length / 2, -width / 2, width / 2];
  const spread = Math.tan(radians(value("preparation.taper") ?? 0));
  const lines = cage(rectangle(block, -root), rectangle(block, crown), 4);
  if (value("preparation.kind") === "cylinder") {
    const floor = crown - value("preparation.depth");
    const at = [value("preparation.offset_x") ?? 0, value("preparation.offset_y") ?? 0, value("preparation.diameter") / 2];
    lines.push(...cage(circle(at, floor), circle([at[0], at[1], at[2] + spread * (crown - floor)], crown), 8));
  } else
    for (const { base, floor, open } of boxes(value, length)) {
      const wide = spread * (crown - floor);
      const top = base.map((each, i) => (open.includes(i) ? each : each + (i % 2 ? wide : -wide)));
      lines.push(...cage(rectangle(base, floor), rectangle(top, crown), 4));
    }
  return Float32Array.from(lines.flat());
}

/** The tooth's outline where the crown meets the root. */
export function junctionLine(value) {
  const [length, width] = ["length", "width"].map((key) => value(`tooth.${key}`));
  const round = Math.min(value("tooth.edge_radius") ?? 0, length / 2, width / 2);
  const corners = [[1, 1], [-1, 1], [-1, -1], [1, -1]].flatMap(([sx, sy], quadrant) => [0, 1, 2, 3].map((i) => {
    const angle = (Math.PI / 2) * (quadrant + i / 3);
    return [sx * (length / 2 - round) + round * Math.cos(angle), sy * (width / 2 - round) + round * Math.sin(angle), 0];
  }));
  return Float32Array.from(corners.flatMap((point, i) => [...point, ...corners[(i + 1) % corners.length]]));
}
