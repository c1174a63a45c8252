// Lines on the bond: rims of walls, and where the bond strength is reached.

import { LOOKS } from "./result.js";

const keyOf = (points, p) => [0, 1, 2].map((c) => Math.round(1e4 * points[3 * p + c])).join();

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

/** Ends of the pieces of the line value = level, as coordinates, over the triangles that hold. */
export function contour(points, triangles, looks, values, level) {
  const ends = [];
  looks.forEach((look, t) => {
    if (look !== LOOKS.holding && look !== LOOKS.losing) return;
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
    if (crossings.length === 2) ends.push(...crossings[0], ...crossings[1]);
  });
  return Float32Array.from(ends);
}
