// Lines on the bond: rims of walls, and where the bond strength is reached.

import { LOOKS } from "../result.js";

const keyOf = (points, p) => [0, 1, 2].map((c) => Math.round(1e4 * points[3 * p + c])).join();

const triangleKey = (points, corners) => corners.map((p) => keyOf(points, p)).sort().join(" ");

/** The triangles of a body's surface (flat list of corners) that do not lie on the bond. */
export function besidesBond({ points, bondPoints, bondTriangles, trianglesAFacet }, corners) {
  const onBond = new Set();
  const corner = (t, c) => bondTriangles[3 * t + c];
  for (let t = 0; t < bondTriangles.length / 3; t += trianglesAFacet)
    onBond.add(triangleKey(bondPoints, trianglesAFacet === 4
      ? [corner(t, 0), corner(t + 1, 1), corner(t + 2, 2)] : [corner(t, 0), corner(t, 1), corner(t, 2)]));
  const kept = [];
  for (let t = 0; t < corners.length; t += 3) {
    const triangle = [corners[t], corners[t + 1], corners[t + 2]];
    if (!onBond.has(triangleKey(points, triangle))) kept.push(...triangle);
  }
  return Int32Array.from(kept);
}

/** Pairs of bond points along the rims of walls. Points of neighbouring walls are doubled: places decide. */
export function wallOutlines({ bondPoints, bondTriangles, wallOfTriangle }) {
  const places = new Map();
  const placeOf = Int32Array.from({ length: bondPoints.length / 3 }, (_, p) => {
    const key = keyOf(bondPoints, p);
    if (!places.has(key)) places.set(key, places.size);
    return places.get(key);
  });
  const edges = new Map();
  wallOfTriangle.forEach((wall, t) => {
    for (let c = 0; c < 3; ++c) {
      const a = bondTriangles[3 * t + c];
      const b = bondTriangles[3 * t + ((c + 1) % 3)];
      const key = Math.min(placeOf[a], placeOf[b]) * places.size + Math.max(placeOf[a], placeOf[b]);
      if (!edges.has(key)) edges.set(key, { ends: [a, b], walls: [] });
      edges.get(key).walls.push(wall);
    }
  });
  return [...edges.values()]
    .filter(({ walls }) => walls.length === 1 || walls.some((wall) => wall !== walls[0]))
    .flatMap(({ ends }) => ends);
}

/** Pairs of points along the edges at which a closed surface turns by more than 40 degrees. */
export function sharpEdges(points, triangles) {
  const normalOf = (t) => {
    const [a, b, c] = [0, 1, 2].map((i) => points.subarray(3 * triangles[t + i], 3 * triangles[t + i] + 3));
    const u = [0, 1, 2].map((i) => b[i] - a[i]);
    const v = [0, 1, 2].map((i) => c[i] - a[i]);
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    return n.map((each) => each / Math.hypot(...n));
  };
  const open = new Map();
  const sharp = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const normal = normalOf(t);
    for (let c = 0; c < 3; ++c) {
      const ends = [triangles[t + c], triangles[t + ((c + 1) % 3)]];
      const key = ends.map((p) => keyOf(points, p)).sort().join(" ");
      const other = open.get(key);
      if (!other) open.set(key, normal);
      else if (normal[0] * other[0] + normal[1] * other[1] + normal[2] * other[2] < Math.cos((40 * Math.PI) / 180)) sharp.push(...ends);
    }
  }
  return sharp;
}

/** Where the line value = level enters and leaves triangle `t`: none or two places. */
function crossingsOf(points, triangles, t, values, level) {
  const crossings = [];
  for (let c = 0; c < 3; ++c) {
    const a = triangles[3 * t + c];
    const b = triangles[3 * t + ((c + 1) % 3)];
    const from = values[a] - level;
    const to = values[b] - level;
    if (from < 0 === to < 0) continue;
    const share = from / (from - to);
    crossings.push([0, 1, 2].map((i) => points[3 * a + i] + share * (points[3 * b + i] - points[3 * a + i])));
  }
  return crossings.length === 2 ? crossings : [];
}

/** Ends of the pieces of the line value = level, as coordinates, over the triangles that hold. */
export function contour(points, triangles, looks, values, level) {
  const ends = [];
  looks.forEach((look, t) => {
    if (look === LOOKS.holding) for (const end of crossingsOf(points, triangles, t, values, level)) ends.push(...end);
  });
  return Float32Array.from(ends);
}

/** Ends of slanting lines, `spacing` [mm] apart in space, over the triangles that look so. */
export function hatching(points, triangles, looks, wanted, spacing) {
  const along = new Float32Array(points.length / 3);
  for (let p = 0; p < along.length; ++p) along[p] = (points[3 * p] + points[3 * p + 1] + points[3 * p + 2]) / (Math.SQRT2 * spacing);
  const ends = [];
  looks.forEach((look, t) => {
    if (look !== wanted) return;
    const own = [0, 1, 2].map((c) => along[triangles[3 * t + c]]);
    for (let level = Math.ceil(Math.min(...own)); level <= Math.max(...own); ++level)
      for (const end of crossingsOf(points, triangles, t, along, level)) ends.push(...end);
  });
  return Float32Array.from(ends);
}
