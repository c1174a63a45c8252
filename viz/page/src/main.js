// The page: unpacks its results, lays itself out and keeps views, clock and numbers in step.

import { Clock } from "./clock.js";
import { makeControls, usualChoice } from "./controls.js";
import { makeDifferences } from "./walls/differences.js";
import { element } from "./element.js";
import { fieldsOf, rangeOf } from "./space/fields.js";
import { makeHistory } from "./walls/history.js";
import { makeFluid } from "./walls/fluid.js";
import { drawLegend } from "./space/legend.js";
import { makeGaps } from "./walls/gaps.js";
import { makeNumbers } from "./walls/numbers.js";
import { Panel } from "./panel.js";
import { LOOKS, openResult } from "./result.js";
import { isDark, makeThemeChoice } from "./theme.js";
import { colourOf } from "./space/scales.js";
import { makeTimeBar } from "./time_bar.js";
import { canDraw } from "./space/view.js";
import { modeWords, shortNumber } from "./words.js";

const BACKGROUNDS = { light: [250, 250, 248], dark: [24, 27, 31] };
const SAME_PLACE = 0.05; // [mm] cavities nearer to each other than this are the same one
const INKS = { light: [40, 40, 40], dark: [215, 215, 215] };

class Page {
  wallNames = true;
  #ranges = new Map();
  constructor(data, results) {
    this.data = data;
    this.results = results;
    this.several = results.length > 1;
    this.clock = new Clock(results);
    this.walls = [...new Set(results.flatMap(({ walls, table }) => [...walls, ...new Set(table.rows.map(({ wall }) => wall))]))]
      .filter((wall) => wall !== "all" && results.some(({ table }) => table.rows.some((row) => row.wall === wall)));
    const fields = fieldsOf(results, data.scales);
    this.fields = fields;
    const increments = results.flatMap((result) => result.increments);
    this.choice = { field: fields[0], range: null, magnify: 0, cut: null, ink: INKS.light, paper: BACKGROUNDS.light, ...usualChoice(fields[0], increments) };
    this.choice.range = this.#range(fields[0]);
    this.panels = results.map((result) => new Panel(result, this));
  }
  /** Bond that is losing strength is as loaded as it can be. */
  get #losing() {
    const { ratio } = this.data.scales;
    return colourOf(ratio, ratio, ratio.mark);
  }
  #range(field) {
    if (!this.#ranges.has(field.key)) this.#ranges.set(field.key, rangeOf(this.results, field));
    return this.#ranges.get(field.key);
  }

  layOut(main) {
    this.controls = makeControls(this);
    this.numbers = makeNumbers(this.results, (wall) => this.chooseWall(wall, { show: true }));
    this.legend = element("section", { class: "legend", "aria-label": "Colour scale" });
    this.history = makeHistory(this.results, this.walls, this.clock, (wall) => this.chooseWall(wall));
    main.append(...[
      element("header", { class: "top" }, element("h1", {}, "Setting stress"), makeThemeChoice(() => this.#dress())),
      element("div", { class: `panels of-${this.results.length}` }, this.panels.map(({ box }) => box)),
      this.legend, makeTimeBar(this.results, this.clock), this.controls.section,
      this.several ? makeDifferences(this.results, this.data.comparison, [...this.walls, "all"]) : null,
      this.walls.length ? this.history.section : null, this.numbers.section, makeGaps(this.results), makeFluid(this.results), this.#notes(),
      element("footer", {}, this.data.caution)].filter(Boolean));
    main.hidden = false;
    this.hasViews = canDraw();
    this.controls.section.hidden = this.legend.hidden = !this.hasViews;
    if (this.hasViews) for (const panel of this.panels) panel.start(this.#losing);
    else for (const panel of this.panels) panel.doWithoutView();
    this.chooseWall(this.#worstWall());
    new ResizeObserver(() => this.#drawLegend()).observe(this.legend);
    this.lookInto();
    this.clock.listen(() => this.#show());
    this.#dress();
    this.clock.goToMoment("end");
    addEventListener("beforeprint", () => this.panels.forEach(({ view }) => view?.drawNow()));
    document.addEventListener("keydown", (event) => this.#key(event));
  }

  #worstWall() {
    const rows = (this.results[0].summary.bond ?? []).filter(({ wall, substrate }) => wall !== "all" && substrate === "all");
    const ratio = ({ worst }) => worst.stress_to_strength_p95 ?? 0;
    return rows.length ? rows.reduce((a, b) => (ratio(b) > ratio(a) ? b : a)).wall : null;
  }

  #dress() {
    const name = isDark() ? "dark" : "light";
    this.choice.ink = INKS[name];
    this.choice.paper = BACKGROUNDS[name];
    for (const { view } of this.panels) view?.setBackground(BACKGROUNDS[name]);
    this.#show();
  }
  #show() {
    const instants = this.results.map((result) => result.instantAt(this.clock.timeOf(result)));
    this.panels.forEach((panel, i) => panel.show(instants[i], this.choice));
    this.numbers.show(instants);
    this.controls.update();
    this.#drawLegend();
  }
  #drawLegend() {
    if (!this.hasViews) return;
    const looks = [];
    const seen = new Set(this.panels.flatMap(({ result, scene }) => [...new Set(result.instants[scene.instant ?? 0].looks)]));
    const ratio = this.choice.bond && this.choice.field.key === "ratio";
    if (ratio && seen.has(LOOKS.losing)) looks.push("losing");
    if (ratio && seen.has(LOOKS.letGo)) looks.push("debonded");
    if (this.choice.bond && seen.has(LOOKS.notFilled)) looks.push("empty");
    this.legend.style.setProperty("--losing", this.#losing);
    drawLegend(this.legend, this.choice.field, this.choice.range, looks);
  }

  choose(changes) {
    Object.assign(this.choice, changes);
    this.#show();
  }
  chooseField(field) {
    const increments = this.results.flatMap((result) => result.increments);
    this.choose({ field, range: this.#range(field), ...usualChoice(field, increments) });
  }
  nameWalls(shown) {
    this.wallNames = shown;
    this.#show();
  }
  /** Cuts all views across an axis, each at `offset` [mm] from the middle of its own cavity. */
  cut(axis, offset, otherSide) {
    if (axis === "none") return this.choose({ cut: null });
    const c = "xyz".indexOf(axis);
    const normal = [0, 0, 0];
    normal[c] = (axis === "x") !== otherSide ? 1 : -1;
    return this.choose({ cut: { axis: c, offset, normal } });
  }
  /** How far the first body reaches from the middle of its cavity along an axis [mm], in tenths that hold zero. */
  reachOfCut(axis) {
    const c = "xyz".indexOf(axis);
    const { bounds, anchor } = this.panels[0];
    const tenths = (length) => Math.round(10 * length) / 10;
    return { low: tenths(bounds.low[c] - anchor[c]), high: tenths(bounds.high[c] - anchor[c]) };
  }
  /** `show`: bring its chart into view. */
  chooseWall(wall, { show = false } = {}) {
    if (wall === null) return;
    this.wall = wall;
    this.history.choose(wall);
    if (show) this.history.bringIntoView();
    for (const { view } of this.panels) view?.render();
  }

  lookInto() {
    if (!this.hasViews) return;
    this.panels[0].lookInto();
    this.cameraMoved(this.panels[0], this.panels[0].view.pose);
  }
  lookFrom(towards) {
    this.panels[0].lookFrom(towards);
    this.cameraMoved(this.panels[0], this.panels[0].view.pose);
  }
  /** All cameras follow the one that moved, each about the middle of its own cavity. */
  cameraMoved(from, { position, focus, up }) {
    for (const panel of this.panels) {
      if (panel === from || !panel.view) continue;
      const apart = panel.anchor.map((each, i) => each - from.anchor[i]);
      const same = Math.hypot(...apart) < SAME_PLACE;
      const moved = (place) => (same ? place : place.map((each, i) => each + apart[i]));
      panel.view.pose = { position: moved(position), focus: moved(focus), up };
    }
  }

  #key(event) {
    const inControl = /^(INPUT|SELECT|BUTTON|TEXTAREA)$/.test(event.target.tagName) && event.target.type !== "range";
    if (inControl) return;
    if (event.key === " ") this.clock.toggle();
    else if (event.key === "," || event.key === ".") this.clock.go(this.clock.index + (event.key === "." ? 1 : -1));
    else return;
    event.preventDefault();
  }

  #notes() {
    const about = this.results.map((result) => {
      const { summary, mesh } = result;
      const factors = summary.c_factors?.whole?.c_factor;
      const lines = [
        `${modeWords(summary)}${summary.reached_the_end ? "" : "; stopped before its end"}; ${mesh.tetrahedra ?? "?"} tetrahedra, ${mesh.unknowns ?? "?"} unknowns; setstress ${result.version}`,
        factors ? `C-factor of the whole filling ${shortNumber(factors)}` : null,
        summary.invented ? "Tooth, preparation and plan are invented for demonstration." : null,
        ...result.warnings];
      return [element("h3", {}, `${this.several ? `${result.letter}: ` : ""}${summary.title}`),
        element("ul", {}, lines.filter(Boolean).map((line) => element("li", {}, line)))];
    });
    return element("section", { class: "notes", "aria-labelledby": "notes-head" },
      element("h2", { id: "notes-head" }, "About these results"), about,
      element("p", {}, "Keys: space plays, the arrow keys move the time slider, comma and full stop go back and on by one instant; in a view the arrow keys turn, plus and minus zoom, 0 looks into the cavity."));
  }
}

async function start() {
  const loading = document.getElementById("loading");
  try {
    const data = JSON.parse(document.getElementById("data").textContent);
    const results = await Promise.all(data.results.map((json, i) => openResult(json, "ABCD"[i])));
    const page = new Page(data, results);
    document.title = `Setting stress: ${results.map(({ summary }) => summary.title).join(" | ")}`;
    page.layOut(document.getElementById("page"));
    loading.remove();
    globalThis.setstressPage = page;  // for the console and for tests
    await Promise.all(page.panels.map(({ drawn }) => drawn));
    page.firstView = performance.now();
  } catch (error) {
    loading.textContent = `This page cannot be shown: ${error.message}. It needs a browser of 2023 or later.`;
    throw error;
  }
}

start();
