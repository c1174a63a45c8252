// What one result looks like at an instant: tooth, increments, bond, lines and the face of a cut.

import { cutFace } from "./cut.js";
import { fieldValues } from "./fields.js";
import { LOOKS } from "../result.js";
import { colourOf, lookupTable, rgbOf } from "./scales.js";
import { besidesBond, contour, hatching, sharpEdges, wallOutlines } from "./surface_lines.js";
import { Layer, plane } from "./view.js";

const PLAIN = { enamel: [236, 232, 220], dentin: [222, 203, 160], pulp: [214, 160, 150], fixture: [196, 200, 204] };
const FILLING = [[203, 208, 224], [184, 192, 214]];
const DEBONDED = [214, 214, 214];
const PLAIN_BOND = [228, 228, 228];
const SURFACE_INK = [20, 20, 20]; // on pale surfaces, light or dark around them
const HATCHING = { [LOOKS.letGo]: 0.12, [LOOKS.losing]: 0.3, [LOOKS.notFilled]: 0.5 }; // [mm], as in the pictures
/** Unlit: the colours of the legend, to the last step. */
const UNLIT = { ambient: 1, diffuse: 0 };
const LIT = { ambient: 0.45, diffuse: 0.6 };

function colourOfRegion(result, region) {
  const increment = result.increment_of_region[region];
  if (increment > 0) return FILLING[increment % 2];
  return PLAIN[result.regions[region]] ?? PLAIN.fixture;
}

export class Scene {
  #layers;
  #outline;
  #toothEdges;
  #losing;
  /** `losing`: colour of bond that is losing its strength. */
  constructor(result, view, losing) {
    this.result = result;
    this.view = view;
    this.#losing = rgbOf(losing);
    const { shape } = result;
    this.#outline = wallOutlines(shape);
    const groups = new Map();
    for (let t = 0; t < shape.triangles.length; t += 3) {
      const increment = result.increment_of_region[shape.regionOfPoint[shape.triangles[t]]];
      if (!groups.has(increment)) groups.set(increment, []);
      groups.get(increment).push(...shape.triangles.subarray(t, t + 3));
    }
    this.regionColours = new Uint8Array(shape.points.length);
    shape.regionOfPoint.forEach((region, p) => this.regionColours.set(colourOfRegion(result, region), 3 * p));
    this.#layers = {
      bond: new Layer(UNLIT),
      plainBond: new Layer(UNLIT),
      hatches: new Layer({ lighting: false, lineWidth: 1.3 }),
      faintHatches: new Layer({ lighting: false, lineWidth: 1.2, opacity: 0.5 }),
      rims: new Layer({ lighting: false, lineWidth: 1.5 }),
      reached: new Layer({ lighting: false, lineWidth: 3 }),
      face: new Layer(UNLIT),
      edges: new Layer({ lighting: false, lineWidth: 1, opacity: 0.4 }),
      solids: [...groups].sort(([a], [b]) => b - a).map(([increment, corners]) => ({
        increment, corners: Int32Array.from(corners), besides: besidesBond(shape, corners), layer: new Layer() })),
    };
    this.#toothEdges = sharpEdges(shape.points, Int32Array.from(groups.get(0) ?? []));
    const { solids, ...others } = this.#layers;
    for (const layer of Object.values(others)) view.add(layer);
    for (const { layer } of solids) view.add(layer);
  }
  #all() {
    const { solids, ...others } = this.#layers;
    return [...Object.values(others), ...solids.map(({ layer }) => layer)];
  }

  /** Draws an instant as `choice` says: field, range, tooth, increments, bond, cut, magnify, ink. */
  show(instant, choice) {
    const { shape } = this.result;
    this.instant = instant;
    this.choice = choice;
    const moved = (points, name) => {
      const displacement = this.result.valuesAt(name, instant);
      return points.map((at, i) => at + choice.magnify * displacement[i]);
    };
    this.points = moved(shape.points, "body.displacement");
    this.bondPoints = shape.bondPoints.length ? moved(shape.bondPoints, "bond.displacement") : shape.bondPoints;
    this.table = lookupTable(choice.field, choice.range);
    this.values = fieldValues(this.result, choice.field, instant);
    this.#showSolids();
    this.#showBond();
    this.#showCut();
    this.view.render();
  }

  #placed(increment) {
    return this.result.instants[this.instant].placed.some(
      (placed, region) => placed && this.result.increment_of_region[region] === increment);
  }
  #shown(increment) {
    if (increment === 0) return this.choice.tooth !== "hidden";
    return this.choice.increments.has(increment) && this.#placed(increment);
  }
  #coloured(increment) {
    return this.choice.field.on === "body" || (this.choice.field.on === "filling" && increment > 0);
  }

  #showSolids() {
    const { edges } = this.#layers;
    edges.actor.setVisibility(this.choice.tooth !== "hidden");
    edges.setLines(this.points, this.#toothEdges);
    edges.colourPlain(this.choice.ink);
    const bondCovers = this.choice.bond && this.choice.field.on === "bond";
    for (const { increment, corners, besides, layer } of this.#layers.solids) {
      layer.actor.setVisibility(this.#shown(increment));
      if (!this.#shown(increment)) continue;
      layer.setTriangles(this.points, bondCovers ? besides : corners);
      const coloured = this.#coloured(increment);
      if (coloured) layer.colourBy(this.values, this.table);
      else layer.colourWith(this.regionColours);
      const clear = increment === 0 && this.choice.tooth === "see-through";
      layer.actor.getProperty().set({ opacity: clear ? 0.16 : 1, backfaceCulling: clear, ...(coloured && !clear ? UNLIT : LIT) });
    }
  }

  #showBond() {
    const { bond, plainBond, rims, reached, hatches, faintHatches } = this.#layers;
    const { shape, instants } = this.result;
    const onBond = this.choice.field.on === "bond";
    const { looks } = instants[this.instant];
    const visible = this.choice.bond && shape.bondTriangles.length > 0;
    for (const layer of [bond, plainBond, rims, reached, hatches, faintHatches]) layer.actor.setVisibility(visible);
    if (!visible) return;
    const coloured = [];
    const plain = [];
    const colours = [];
    const plainColours = { [LOOKS.holding]: PLAIN_BOND, [LOOKS.losing]: this.#losing,
      [LOOKS.letGo]: DEBONDED, [LOOKS.notFilled]: this.choice.paper };
    looks.forEach((look, t) => {
      const corners = shape.bondTriangles.subarray(3 * t, 3 * t + 3);
      // Once bond loses strength its ratio says nothing more: it is at its limit until it lets go.
      const showsField = onBond && (look === LOOKS.holding || (look !== LOOKS.notFilled && this.choice.field.key !== "ratio"));
      (showsField ? coloured : plain).push(...corners);
      if (!showsField) for (let c = 0; c < 3; ++c) colours.push(...plainColours[look]);
    });
    bond.setTriangles(this.bondPoints, coloured);
    if (onBond) bond.colourBy(this.values, this.table);
    // Points of its own for every plain triangle, so that their colours do not run into each other.
    plainBond.setTriangles(Float32Array.from(plain.flatMap((p) => [...this.bondPoints.subarray(3 * p, 3 * p + 3)])), plain.map((_, i) => i));
    plainBond.colourWith(Uint8Array.from(colours));
    this.#hatch(hatches, onBond && this.choice.field.key !== "ratio" ? [] : [LOOKS.letGo, LOOKS.losing], SURFACE_INK);
    this.#hatch(faintHatches, [LOOKS.notFilled], this.choice.ink);
    rims.setLines(this.bondPoints, this.#outline);
    rims.colourPlain(this.choice.ink);
    const line = this.choice.field.key === "ratio"
      ? contour(this.bondPoints, shape.bondTriangles, looks, this.values, 1) : new Float32Array(0);
    reached.setLines(line, Int32Array.from({ length: line.length / 3 }, (_, i) => i));
    reached.colourPlain(SURFACE_INK);
    reached.actor.setVisibility(line.length > 0);
  }

  #hatch(layer, wanted, ink) {
    const { looks } = this.result.instants[this.instant];
    const ends = wanted.flatMap((look) => [...hatching(this.bondPoints, this.result.shape.bondTriangles, looks, look, HATCHING[look])]);
    layer.setLines(Float32Array.from(ends), Int32Array.from({ length: ends.length / 3 }, (_, i) => i));
    layer.colourPlain(ink);
    layer.actor.setVisibility(ends.length > 0);
  }

  #showCut() {
    const { face } = this.#layers;
    const { cut } = this.choice;
    const clip = cut ? plane(cut.origin, cut.normal) : null;
    for (const layer of this.#all()) if (layer !== face) layer.cutBy(clip);
    face.actor.setVisibility(false);
    const { tetrahedra, regionOfPoint } = this.result.shape;
    if (!cut || tetrahedra.length === 0) return;
    const height = new Float32Array(regionOfPoint.length);
    for (let p = 0; p < height.length; ++p)
      for (let c = 0; c < 3; ++c) height[p] += (this.points[3 * p + c] - cut.origin[c]) * cut.normal[c];
    const shownRegion = this.result.regions.map((_, region) => this.#shown(this.result.increment_of_region[region]));
    const { from, to, share } = cutFace(tetrahedra, height, regionOfPoint.map((region) => (shownRegion[region] ? 1 : 0)));
    if (from.length === 0) return;
    const between = (values, components) => {
      const out = new values.constructor(components * from.length);
      from.forEach((a, i) => {
        for (let c = 0; c < components; ++c) {
          const start = values[components * a + c];
          out[components * i + c] = start + share[i] * (values[components * to[i] + c] - start);
        }
      });
      return out;
    };
    face.setTriangles(between(this.points, 3), Int32Array.from(from, (_, i) => i));
    face.actor.setVisibility(true);
    if (this.choice.field.on === "bond") face.colourWith(between(this.regionColours, 3));
    else face.colourWith(this.#faceColours(from, between(this.values, 1)));
  }
  #faceColours(from, values) {
    const colours = new Uint8Array(3 * from.length);
    from.forEach((point, i) => {
      const increment = this.result.increment_of_region[this.result.shape.regionOfPoint[point]];
      const colour = this.#coloured(increment)
        ? rgbOf(colourOf(this.choice.field, this.choice.range, values[i]))
        : this.regionColours.subarray(3 * point, 3 * point + 3);
      colours.set(colour, 3 * i);
    });
    return colours;
  }

  /** The wall (index) that a line of sight meets first; -1 for none. */
  wallAt({ origin, direction }) {
    const { bondTriangles, wallOfTriangle } = this.result.shape;
    let nearest = Infinity;
    let wall = -1;
    for (let t = 0; t < wallOfTriangle.length; ++t) {
      const [a, b, c] = [0, 1, 2].map((i) => this.bondPoints.subarray(3 * bondTriangles[3 * t + i], 3 * bondTriangles[3 * t + i] + 3));
      const distance = distanceTo(a, b, c, origin, direction);
      if (distance < nearest && !this.isCutAway(origin.map((each, i) => each + distance * direction[i]))) {
        nearest = distance;
        wall = wallOfTriangle[t];
      }
    }
    return wall;
  }
  /** Whether a place [mm] lies on the side that a cut takes away. */
  isCutAway(place) {
    const { cut } = this.choice;
    return cut !== null && place.reduce((sum, each, c) => sum + (each - cut.origin[c]) * cut.normal[c], 0) < 0;
  }
}

/** Distance along a line to a triangle, infinite where it misses (Möller and Trumbore 1997, J Graphics Tools 2:21). */
function distanceTo(a, b, c, origin, direction) {
  const minus = (u, v) => [u[0] - v[0], u[1] - v[1], u[2] - v[2]];
  const cross = (u, v) => [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const dot = (u, v) => u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
  const first = minus(b, a);
  const second = minus(c, a);
  const across = cross(direction, second);
  const det = dot(first, across);
  if (Math.abs(det) < 1e-12) return Infinity;
  const from = minus(origin, a);
  const u = dot(from, across) / det;
  const around = cross(from, first);
  const v = dot(direction, around) / det;
  const distance = dot(second, around) / det;
  return u >= 0 && v >= 0 && u + v <= 1 && distance > 0 ? distance : Infinity;
}
