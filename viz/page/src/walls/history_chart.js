// One number of a wall against time, with the light, the waits and the clock in it.

import { planOf } from "../clock.js";
import { element, svg } from "../element.js";
import { timeTicks } from "../time_axis.js";
import { textOf } from "./measures.js";
import { historyOf } from "./wall_table.js";
import { shortNumber, spokenTime, wallLabel } from "../words.js";

const MARGIN = { left: 44, right: 26, top: 22, plan: 13, gap: 7, bottom: 34 };

function valueTicks(highest) {
  const power = 10 ** Math.floor(Math.log10(highest));
  const step = [0.2, 0.5, 1, 2].map((each) => each * power).find((each) => highest / each <= 5);
  return Array.from({ length: Math.floor(highest / step + 1e-9) + 1 }, (_, i) => i * step);
}

/** `measure`: one of MEASURES; `highest`: the upper end of its axis. */
export class HistoryChart {
  box = element("div", { class: "chart" });
  #cursors = [];
  constructor(results, wall, clock, { height, measure, highest }) {
    Object.assign(this, { results, wall, clock, height, measure, highest });
    this.end = Math.max(...results.map(({ summary }) => summary.end_time_s));
    this.histories = results.map((result) => historyOf(result.table, wall, measure)
      .map(({ time, value }) => ({ time, value: (measure.factor ?? 1) * value })));
    this.base = height - MARGIN.bottom - MARGIN.gap - MARGIN.plan * results.length;
    new ResizeObserver(() => this.#draw()).observe(this.box);
  }
  #x(time) {
    return MARGIN.left + ((this.width - MARGIN.left - MARGIN.right) * time) / this.end;
  }
  #y(value) {
    return this.base - ((this.base - MARGIN.top) * value) / this.highest;
  }

  #draw() {
    this.width = Math.max(260, this.box.clientWidth);
    const chart = svg("svg", { width: this.width, height: this.height, viewBox: `0 0 ${this.width} ${this.height}`, role: "img", "aria-label": this.#spoken(),
      onclick: ({ offsetX }) => this.clock.goTo(((offsetX - MARGIN.left) / (this.width - MARGIN.left - MARGIN.right)) * this.end) },
      svg("text", { x: MARGIN.left, y: 13, class: "strong" }, wallLabel(this.wall)));
    this.#addAxes(chart);
    this.results.forEach((result, i) => {
      const path = this.histories[i].map(({ time, value }, n) => `${n ? "L" : "M"}${this.#x(time).toFixed(1)} ${this.#y(value).toFixed(1)}`);
      chart.append(svg("path", { d: path.join(""), class: `line result-${result.letter}` }));
      const end = this.histories[i].at(-1);
      if (end && this.results.length > 1)
        chart.append(svg("text", { x: this.#x(end.time) + 4, y: this.#y(end.value) + 4, class: `letter at-end result-${result.letter}` }, result.letter));
      this.#addPlan(chart, result, i);
    });
    this.#cursors = this.results.map(() => svg("line", { y1: MARGIN.top - 4, y2: this.height - MARGIN.bottom, class: "cursor" }));
    chart.append(...this.#cursors);
    this.box.replaceChildren(chart);
    this.move();
  }
  #spoken() {
    const unit = this.measure.unit ? ` ${this.measure.unit}` : "";
    const peaks = this.results.map(({ letter }, i) => {
      const peak = this.histories[i].reduce((a, b) => (b.value > a.value ? b : a), { time: 0, value: 0 });
      return `${this.results.length > 1 ? `plan ${letter}: ` : ""}highest ${this.measure.text ? textOf(this.measure, peak.value / (this.measure.factor ?? 1)) : shortNumber(peak.value) + unit} at ${spokenTime(peak.time)}`;
    });
    return `${this.measure.name} of the ${wallLabel(this.wall)} against time; ${peaks.join("; ")}`;
  }
  #addAxes(chart) {
    const right = this.width - MARGIN.right;
    const floor = this.height - MARGIN.bottom;
    for (const value of valueTicks(this.highest)) {
      chart.append(svg("line", { x1: MARGIN.left, x2: right, y1: this.#y(value), y2: this.#y(value), class: "grid" }));
      chart.append(svg("text", { x: MARGIN.left - 6, y: this.#y(value) + 4, "text-anchor": "end" }, shortNumber(value)));
    }
    if (this.measure.isRatio)
      chart.append(svg("line", { x1: MARGIN.left, x2: right, y1: this.#y(1), y2: this.#y(1), class: "one" }));
    for (const time of timeTicks(this.end, right - MARGIN.left)) {
      chart.append(svg("line", { x1: this.#x(time), x2: this.#x(time), y1: floor, y2: floor + 4, class: "ink" }));
      chart.append(svg("text", { x: this.#x(time), y: floor + 16, "text-anchor": "middle" }, spokenTime(time)));
    }
  }
  /** The row of light, waits and placements of a plan. */
  #addPlan(chart, result, row) {
    const { lights, waits, placed } = planOf(result);
    const top = this.height - MARGIN.bottom - MARGIN.plan * (this.results.length - row) + 3;
    const bar = ({ start, end }, name, says) => chart.append(svg("rect", { x: this.#x(start), y: top, class: name,
      width: Math.max(1, this.#x(end) - this.#x(start)), height: MARGIN.plan - 5 },
      svg("title", {}, `${says}, ${spokenTime(end - start)}`)));
    for (const wait of waits) bar(wait, "wait", "waiting and placing");
    for (const light of lights) bar(light, "light", "light on");
    for (const { time, what } of placed)
      chart.append(svg("line", { x1: this.#x(time), x2: this.#x(time), y1: top - 2, y2: top + MARGIN.plan - 4, class: "tick" },
        svg("title", {}, `${spokenTime(time)}: ${what}`)));
    if (this.results.length > 1)
      chart.append(svg("text", { x: MARGIN.left - 6, y: top + 8, "text-anchor": "end", class: `letter result-${result.letter}` }, result.letter));
  }
  /** Puts the lines of the clock where each result is shown. */
  move() {
    this.#cursors.forEach((cursor, i) => {
      const x = this.#x(this.clock.timeOf(this.results[i]));
      cursor.setAttribute("x1", x);
      cursor.setAttribute("x2", x);
    });
  }
}
