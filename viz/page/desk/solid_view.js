// The hole in its tooth, in space: walls in the colours of what they are made of, the tooth seen through.

import { element } from "../src/element.js";
import { sharpEdges } from "../src/space/surface_lines.js";
import { canDraw, Layer, View } from "../src/space/view.js";
import { isDark } from "../src/theme.js";
import { rgbOf } from "../src/space/scales.js";
import { junctionLine, outlineOf } from "./outline.js";

/** Deeper dentin is darker; told apart also without colour, by the names beside the drawing. */
export const SUBSTRATES = { enamel: "#9cc4e4", "coronal dentin": "#f4dd8f", "middle dentin": "#e9b04e", "cervical dentin": "#cf6f2c", "radicular dentin": "#8a3415", pulp: "#d64b64" };
const TOOTH = { enamel: [226, 232, 238], dentin: [232, 216, 178], pulp: [214, 160, 150] };
const PAPER = { light: [255, 255, 255], dark: [27, 31, 36] };
const INK = { light: [60, 66, 72], dark: [205, 212, 219] };
const JUNCTION = { light: [29, 95, 158], dark: [125, 184, 240] };
const SIDES = { mesial: [-1, 0], distal: [1, 0], lingual: [0, -1], buccal: [0, 1] };
const STEP = 15; // degrees, of a key
const AWAY = 1.4; // [mm] of the names of sides

const lined = (points) => Int32Array.from({ length: points.length / 3 }, (_, i) => i);

export class SolidView {
  #view = null;
  #walls = new Layer({ ambient: 0.55, diffuse: 0.5 });
  #tooth = new Layer({ opacity: 0.22 });
  #edges = new Layer({ lighting: false, lineWidth: 1, opacity: 0.75 });
  #rims = new Layer({ lighting: false, lineWidth: 1.6 });
  #junction = new Layer({ lighting: false, lineWidth: 2.5 });
  #outline = new Layer({ lighting: false, lineWidth: 1.8 });
  #names;
  #value = () => undefined;
  constructor() {
    this.box = element("div", { class: "stage", tabindex: 0, role: "group", "data-key": "the hole in space",
      "aria-label": "The hole in its tooth, in space; the arrow keys turn it, plus and minus zoom, 0 looks into the cavity", onkeydown: (event) => this.#key(event) });
    this.#names = Object.fromEntries(Object.keys(SIDES).concat("junction").map((name) => [name, element("span", { class: "side-name" }, name)]));
  }
  /** Begins to draw; to be called once the box stands in the page. */
  #start() {
    if (this.#view || !this.box.isConnected) return this.#view !== null;
    if (!canDraw()) {
      this.box.replaceChildren(element("p", { class: "faint" }, "This browser does not draw in space. The section of each plan below shows the hole to scale."));
      return false;
    }
    const canvas = element("div", { class: "canvas-box" });
    this.box.replaceChildren(canvas, element("div", { class: "side-names", "aria-hidden": "true" }, Object.values(this.#names)));
    this.#view = new View(canvas, () => {});
    for (const layer of [this.#walls, this.#edges, this.#rims, this.#junction, this.#outline, this.#tooth]) this.#view.add(layer);
    this.#outline.actor.setVisibility(false);
    this.#view.ondrawn = () => this.#placeNames();
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.#dress());
    this.#dress();
    return true;
  }
  #dress() {
    const look = isDark() ? "dark" : "light";
    this.#view.setBackground(PAPER[look]);
    for (const layer of [this.#edges, this.#rims]) layer.colourPlain(INK[look]);
    for (const layer of [this.#junction, this.#outline]) layer.colourPlain(JUNCTION[look]);
    this.#view.render();
  }

  /** `solid` as the desk tells it, `value(key)` of the case file. */
  show(solid, value) {
    if (!solid.parts.length || !this.#start()) return;
    const first = !this.solid;
    this.solid = solid;
    this.#value = value;
    const points = Float32Array.from(solid.points);
    this.#fill(this.#walls, solid.parts.filter(({ wall }) => wall !== null), points, (made) => rgbOf(SUBSTRATES[made] ?? "#b0b0b0"));
    this.#fill(this.#tooth, solid.parts.filter(({ wall }) => wall === null), points, (made) => TOOTH[made] ?? TOOTH.dentin);
    this.#edges.setLines(points, sharpEdges(points, Int32Array.from(solid.parts.flatMap(({ triangles }) => triangles))));
    this.#rims.setLines(points, rimsOf(solid.parts, points));
    const junction = junctionLine(value);
    this.#junction.setLines(junction, lined(junction));
    this.#outline.actor.setVisibility(false);
    for (const layer of [this.#walls, this.#tooth, this.#edges, this.#rims]) layer.actor.setVisibility(true);
    if (first) this.lookInto();
    this.#view.drawNow();
  }
  /** Every triangle has corners of its own: colours do not run into each other. */
  #fill(layer, parts, points, colourOf) {
    const places = [];
    const colours = [];
    for (const { made_of: made, triangles } of parts)
      for (const corner of triangles) {
        places.push(points[3 * corner], points[3 * corner + 1], points[3 * corner + 2]);
        colours.push(...colourOf(made));
      }
    layer.setTriangles(Float32Array.from(places), lined(places));
    layer.colourWith(Uint8Array.from(colours));
  }

  /** While a slider is held: `value` with what it says. */
  hold(value) {
    if (!this.#view) return;
    const points = outlineOf(value);
    this.#outline.setLines(points, lined(points));
    this.#outline.actor.setVisibility(true);
    for (const layer of [this.#walls, this.#tooth, this.#rims, this.#edges]) layer.actor.setVisibility(false);
    this.#view.render();
  }

  /** From above the open side, so that floor and walls are seen. */
  lookInto() {
    const value = this.#value;
    const [length, width, crown] = ["length", "width", "crown_height"].map((key) => value(`tooth.${key}`) ?? 8);
    const distal = value("preparation.side") === "distal";
    const direction = [distal ? 0.62 : -0.62, 0.42, 0.75];
    const far = 2.5 * Math.hypot(length, width, crown) * (this.box.clientWidth < 500 ? 1.25 : 1);
    const focus = [0, 0, crown / 2 - 1.2];
    const unit = Math.hypot(...direction);
    this.#view.pose = { position: focus.map((each, i) => each + (far * direction[i]) / unit), focus, up: [0, 0, 1] };
  }
  lookFrom(direction) {
    const far = 2.4 * Math.hypot(...["length", "width", "crown_height"].map((key) => this.#value(`tooth.${key}`) ?? 8));
    const focus = [0, 0, (this.#value("tooth.crown_height") ?? 6) / 2 - 1.2];
    this.#view.pose = { position: focus.map((each, i) => each + far * direction[i]), focus, up: Math.abs(direction[2]) > 0.9 ? [0, 1, 0] : [0, 0, 1] };
  }
  #key(event) {
    const turns = { ArrowLeft: [STEP, 0], ArrowRight: [-STEP, 0], ArrowUp: [0, -STEP], ArrowDown: [0, STEP] };
    if (!this.#view) return;
    if (turns[event.key]) this.#view.turn(...turns[event.key]);
    else if (event.key === "+" || event.key === "=") this.#view.zoom(1.2);
    else if (event.key === "-") this.#view.zoom(1 / 1.2);
    else if (event.key === "0") this.lookInto();
    else return;
    event.preventDefault();
  }
  #placeNames() {
    const [length, width] = ["length", "width"].map((key) => this.#value(`tooth.${key}`) ?? 8);
    const level = this.#value("tooth.crown_height") ?? 6;
    const places = Object.entries(SIDES).map(([name, [x, y]]) => [name, [x * (length / 2 + AWAY), y * (width / 2 + AWAY), level]]);
    places.push(["junction", [-length / 2, -width / 2, 0]]);
    const seen = this.#view.project(places.map(([, place]) => place));
    places.forEach(([name], i) => {
      const { style, offsetWidth } = this.#names[name];
      style.display = seen[i] ? "" : "none";
      if (!seen[i]) return;
      const left = seen[i][0] + (name === "junction" ? 14 : -offsetWidth / 2);
      const inside = Math.max(0, Math.min(this.box.clientWidth - offsetWidth, left));
      style.transform = `translate(${inside.toFixed(1)}px, ${seen[i][1].toFixed(1)}px) translateY(-50%)`;
    });
  }
}

/** Ends of the lines at which a wall ends. Cut triangles have points of their own: places decide. */
function rimsOf(parts, points) {
  const places = new Map();
  const placeOf = (corner) => {
    const key = points.subarray(3 * corner, 3 * corner + 3).join();
    if (!places.has(key)) places.set(key, places.size);
    return places.get(key);
  };
  const edges = new Map();
  parts.forEach(({ wall, triangles }, part) => {
    if (wall === null) return;
    for (let t = 0; t < triangles.length; t += 3)
      for (let c = 0; c < 3; ++c) {
        const ends = [triangles[t + c], triangles[t + ((c + 1) % 3)]];
        const [a, b] = ends.map(placeOf);
        const key = Math.min(a, b) * 1e6 + Math.max(a, b);
        const edge = edges.get(key);
        if (!edge) edges.set(key, { ends, parts: [part] });
        else edge.parts.push(part);
      }
  });
  return Int32Array.from([...edges.values()].filter(({ parts: [a, b] }) => b === undefined || parts[a].wall !== parts[b].wall).flatMap(({ ends }) => ends));
}
