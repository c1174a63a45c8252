// One result as unpacked: its shape, its instants, its table of walls.

import { inflate, Unpacker, valuesOf } from "./unpack.js";
import { readWallTable } from "./walls/wall_table.js";

/** How a bond triangle looks, as in the pictures. */
export const LOOKS = { holding: 0, losing: 1, letGo: 2, notFilled: 3 };

async function readShape(shape) {
  const unpacker = new Unpacker(await inflate(shape.packed));
  const points = valuesOf(unpacker.steps(3 * shape.points), shape);
  return {
    points,
    trianglesAFacet: shape.triangles_a_facet,
    regionOfPoint: unpacker.bytes(shape.points),
    triangles: unpacker.indices(3 * shape.triangles),
    tetrahedra: unpacker.indices(4 * shape.tetrahedra),
    bondPoints: valuesOf(unpacker.steps(3 * shape.bond_points), shape),
    bondTriangles: unpacker.indices(3 * shape.bond_triangles),
    wallOfTriangle: unpacker.bytes(shape.bond_triangles),
    incrementOfTriangle: unpacker.bytes(shape.bond_triangles),
  };
}

async function readInstants(json) {
  const inflated = await Promise.all(json.instants.map(({ packed }) => inflate(packed)));
  const before = {};
  return json.instants.map((instant, i) => {
    const unpacker = new Unpacker(inflated[i]);
    const steps = {};
    for (const series of json.series) {
      const points = series.name.startsWith("bond.") ? json.shape.bond_points : json.shape.points;
      steps[series.name] = unpacker.steps(series.components * points, before[series.name]);
      before[series.name] = steps[series.name];
    }
    const looks = unpacker.bytes(json.shape.bond_triangles);
    return { time: instant.time_s, event: instant.event, placed: instant.placed, steps, looks };
  });
}

export async function openResult(json, letter) {
  const [shape, instants, csv] = await Promise.all([
    readShape(json.shape),
    readInstants(json),
    inflate(json.walls_csv).then((bytes) => new TextDecoder().decode(bytes)),
  ]);
  const series = Object.fromEntries(json.series.map((each) => [each.name, each]));
  return {
    ...json,
    letter,
    shape,
    series,
    instants,
    table: readWallTable(csv),
    isTooth: json.regions.some((name) => name === "enamel" || name === "dentin"),
    increments: [...new Set(json.increment_of_region)].filter((each) => each > 0).sort((a, b) => a - b),
    /** Values of a series at an instant. */
    valuesAt(name, instant) {
      return valuesOf(instants[instant].steps[name], series[name]);
    },
    /** The instant (index) to show at `time`: the last one that is not later. */
    instantAt(time) {
      let found = 0;
      instants.forEach((instant, i) => {
        if (instant.time <= time + 1e-6) found = i;
      });
      return found;
    },
  };
}
