// One result on the page: its heading, its view with the names of its walls, and where its axes point.

import { element, svg } from "./element.js";
import { measuresOf, textOf } from "./walls/measures.js";
import { Scene } from "./space/scene.js";
import { View } from "./space/view.js";
import { rowsAt } from "./walls/wall_table.js";
import { modeWords, spokenTime, wallLabel } from "./words.js";

const TOOTH_AXES = ["distal", "buccal", "occlusal"];

/** Area-weighted middle [mm] of each wall, and where the bond as a whole faces. */
function wallPlaces({ bondPoints, bondTriangles, wallOfTriangle }, count) {
  const sums = Array.from({ length: count }, () => [0, 0, 0, 0]);
  const facing = [0, 0, 0];
  wallOfTriangle.forEach((wall, t) => {
    const [a, b, c] = [0, 1, 2].map((i) => bondPoints.subarray(3 * bondTriangles[3 * t + i], 3 * bondTriangles[3 * t + i] + 3));
    const u = [0, 1, 2].map((i) => b[i] - a[i]);
    const v = [0, 1, 2].map((i) => c[i] - a[i]);
    const normal = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const area = Math.hypot(...normal) / 2;
    for (let i = 0; i < 3; ++i) {
      sums[wall][i] += (area * (a[i] + b[i] + c[i])) / 3;
      facing[i] += normal[i] / 2;
    }
    sums[wall][3] += area;
  });
  return { middles: sums.map(([x, y, z, area]) => (area ? [x / area, y / area, z / area] : null)), facing };
}

function boundsOf(points) {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  points.forEach((value, i) => {
    low[i % 3] = Math.min(low[i % 3], value);
    high[i % 3] = Math.max(high[i % 3], value);
  });
  return { low, high, middle: low.map((value, i) => (value + high[i]) / 2), size: Math.hypot(...low.map((value, i) => high[i] - value)) };
}

/** Camera at `distance` in the direction `towards` from `focus`. */
function poseFrom(focus, towards, distance) {
  const length = Math.hypot(...towards);
  const unit = towards.map((each) => each / length);
  return { position: focus.map((each, i) => each + distance * unit[i]), focus, up: Math.abs(unit[2]) > 0.95 ? [0, 1, 0] : [0, 0, 1] };
}

export class Panel {
  constructor(result, page) {
    const { summary } = result;
    this.result = result;
    this.page = page;
    this.where = wallPlaces(result.shape, result.walls.length);
    this.bounds = boundsOf(result.shape.points);
    this.bondBounds = result.shape.bondPoints.length ? boundsOf(result.shape.bondPoints) : this.bounds;
    this.instantText = element("span", { class: "instant" });
    this.labels = element("div", { class: "wall-labels", "aria-hidden": "true" });
    this.summary = element("p", { class: "spoken", id: `seen-${result.letter}` });
    this.axes = svg("svg", { class: "axes", width: 150, height: 110, "aria-hidden": "true" });
    this.canvasBox = element("div", { class: "canvas-box" });
    this.stage = element("div", { class: "stage", tabindex: 0, role: "application",
      "aria-describedby": this.summary.id, "aria-label": `3D view of ${summary.title}. Arrow keys turn it, plus and minus zoom, 0 looks into the cavity again.`,
      onkeydown: (event) => this.#key(event) }, this.canvasBox, this.labels, this.axes);
    this.box = element("article", { class: "panel" },
      element("header", {},
        element("h2", {}, page.several ? element("span", { class: `chip result-${result.letter}` }, result.letter) : null, summary.title),
        element("p", { class: "faint" },
          summary.invented ? element("span", { class: "badge" }, "invented for demonstration") : null,
          ` ${summary.case}: ${modeWords(summary)} · chair time ${spokenTime(summary.chair_time_s)} · `, this.instantText),
        result.left_out.map((sentence) => element("p", { class: "faint" }, sentence))),
      this.stage, this.summary);
  }
  /** Where nothing can be drawn, everything else still says its part. */
  doWithoutView() {
    this.drawn = Promise.resolve();
    this.stage.replaceWith(element("p", { class: "no-view" },
      "No view in space: this browser has no WebGL 2, or it is switched off. Words, tables and charts below are whole."));
  }
  /** Once the box is in the document. */
  start(losing) {
    this.view = new View(this.canvasBox, (pose) => this.page.cameraMoved(this, pose));
    this.drawn = new Promise((drawn) => {
      this.view.ondrawn = () => {
        this.#drawOverlays();
        drawn();
      };
    });
    this.scene = new Scene(this.result, this.view, losing);
    this.#listenForClicks();
  }

  lookInto() {
    const { facing } = this.where;
    const length = Math.hypot(...facing);
    const inward = length > 0 ? facing.map((each) => each / length) : [0.3, -0.8, 0.5];
    const fromAbove = inward[2] > 0.9;
    const towards = fromAbove ? [inward[0], inward[1] - 0.15, inward[2]] : [inward[0], inward[1] - 0.35, inward[2] + 0.15];
    this.view.pose = poseFrom(this.bondBounds.middle, towards, 2.1 * this.bondBounds.size + 0.12 * this.bounds.size);
  }
  /** What the cameras of different preparations are linked by [mm]. */
  get anchor() {
    return this.bondBounds.middle;
  }
  lookFrom(towards) {
    this.view.pose = poseFrom(this.bounds.middle, towards, 1.75 * this.bounds.size);
  }

  show(instant, choice) {
    const shown = this.result.instants[instant];
    this.instantText.textContent = `shown at ${spokenTime(shown.time)}`;
    this.summary.textContent = this.#spoken(shown.time, choice.field);
    if (!this.scene) return;
    const { cut } = choice;
    const origin = cut && this.anchor.map((each, c) => (c === cut.axis ? each + cut.offset : 0));
    this.scene.show(instant, cut ? { ...choice, cut: { ...cut, origin } } : choice);
  }
  /** What is to be seen, for those who do not. */
  #spoken(time, field) {
    const rows = rowsAt(this.result.table, time).filter(({ substrate, stress_to_strength_p95: p95 }) => substrate === "all" && p95 !== "");
    const measures = measuresOf([this.result]).filter(({ column }) => ["stress_to_strength_p95", "share_of_whole_at_strength", "share_of_whole_debonded"].includes(column));
    const tell = (row) => `${wallLabel(row.wall)}: ${measures.map((measure) =>
      `${measure.head} ${textOf(measure, measure.of(row))}`).join(", ")}`;
    return `Shown by colour: ${field.quantity}, at ${spokenTime(time)}. ${rows.length ? `${rows.map(tell).join("; ")}.` : "Nothing has been filled yet."}`;
  }

  #drawOverlays() {
    this.labels.replaceChildren(...(this.page.choice.bond && this.page.wallNames ? this.#wallNames() : []));
    this.#drawAxes();
  }
  /** Names at the middles of the walls, the chosen wall first; a name that would lie over another is left out. */
  #wallNames() {
    const { middles } = this.where;
    const spots = this.view.project(middles.map((at) => at ?? [0, 0, 0]));
    const order = this.result.walls.map((_, i) => i).filter((i) => middles[i] && spots[i] && !this.scene.isCutAway(middles[i]))
      .sort((a, b) => (this.result.walls[b] === this.page.wall) - (this.result.walls[a] === this.page.wall));
    const taken = [];
    return order.flatMap((i) => {
      const [x, y] = spots[i];
      const text = wallLabel(this.result.walls[i]);
      const half = 3.6 * text.length + 6;
      if (taken.some((other) => Math.abs(other.x - x) < other.half + half && Math.abs(other.y - y) < 20)) return [];
      taken.push({ x, y, half });
      return [element("span", { style: `left:${x.toFixed(1)}px;top:${y.toFixed(1)}px`,
        class: this.result.walls[i] === this.page.wall ? "chosen" : null }, text)];
    });
  }
  #drawAxes() {
    const { position, focus, up } = this.view.pose;
    const unit = (a) => a.map((each) => each / Math.hypot(...a));
    const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
    const forward = unit(focus.map((each, i) => each - position[i]));
    const right = unit(cross(forward, up));
    const above = cross(right, forward);
    const names = this.result.isTooth ? TOOTH_AXES : ["x", "y", "z"];
    const taken = [];
    this.axes.replaceChildren(...names.flatMap((name, i) => {
      const length = Math.hypot(right[i], above[i]);
      if (length < 0.55) return [];  // points at the eye or away from it
      // The name starts, ends or stands beyond the tip, and gives way to names that are there.
      const anchor = right[i] > 0.3 ? "start" : right[i] < -0.3 ? "end" : "middle";
      const [x, y] = [65 + 28 * right[i], 55 - 28 * above[i]];
      const at = { x: x + (6 * right[i]) / length, y: y + 4 - (10 * above[i]) / length };
      while (taken.some((other) => Math.abs(other - at.y) < 13)) at.y += at.y < 59 ? -2 : 2;
      taken.push(at.y);
      return [svg("line", { x1: 65, y1: 55, x2: x, y2: y, class: "ink" }),
        svg("text", { x: at.x, y: at.y, "text-anchor": anchor }, name)];
    }));
  }

  /** A press that does not turn the view chooses a wall. */
  #listenForClicks() {
    let from = null;
    this.canvasBox.addEventListener("pointerdown", (event) => { from = [event.clientX, event.clientY]; }, true);
    this.canvasBox.addEventListener("pointerup", (event) => {
      if (!from || Math.hypot(event.clientX - from[0], event.clientY - from[1]) > 5) return;
      const { left, top } = this.canvasBox.getBoundingClientRect();
      const wall = this.scene.wallAt(this.view.sightLine(event.clientX - left, event.clientY - top));
      if (wall >= 0) this.page.chooseWall(this.result.walls[wall], { show: true });
    }, true);
  }
  #key(event) {
    const turns = { ArrowLeft: [10, 0], ArrowRight: [-10, 0], ArrowUp: [0, -10], ArrowDown: [0, 10] };
    if (turns[event.key]) this.view.turn(...turns[event.key]);
    else if (event.key === "+" || event.key === "=") this.view.zoom(1.15);
    else if (event.key === "-") this.view.zoom(1 / 1.15);
    else if (event.key === "0") this.lookInto();
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
}
