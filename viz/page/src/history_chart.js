// The ratio of a wall against time, with the light, the waits and the clock in it.

import { planOf } from "./clock.js";
import { element, svg } from "./element.js";
import { historyOf } from "./wall_table.js";
import { shortNumber, spokenTime, wallLabel } from "./words.js";

const MARGIN = { left: 44, right: 26, top: 22, plan: 13, gap: 7, bottom: 34 };
const COLUMN = "stress_to_strength_p95";

function timeTicks(end, width) {
  const steps = [5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 14400, 21600, 43200];
  const step = steps.find((each) => (end / each) * 58 <= width) ?? 86400;
  return Array.from({ length: Math.floor(end / step + 1e-9) + 1 }, (_, i) => i * step);
}

function path(history, x, y) {
  return history.map(({ time, value }, i) => `${i ? "L" : "M"}${x(time).toFixed(1)} ${y(value).toFixed(1)}`).join("");
}

/** The upper end of the ratio axis that holds all of `walls`. */
export function highestRatio(results, walls) {
  const all = results.flatMap(({ table }) => walls.flatMap((wall) => historyOf(table, wall, COLUMN).map(({ value }) => value)));
  return 1.04 * Math.max(1.2, ...all);
}

/** Chart of one wall up to the ratio `highest`; `clock` is moved by clicking into it. */
export function makeChart(results, wall, clock, { height, highest }) {
  const box = element("div", { class: "chart" });
  const histories = results.map((result) => historyOf(result.table, wall, COLUMN));
  const end = Math.max(...results.map(({ summary }) => summary.end_time_s));
  let cursor = null;
  let x = () => 0;

  function addPlan(chart, result, row, width) {
    const { lights, waits, placed } = planOf(result);
    const top = height - MARGIN.bottom - MARGIN.plan * (results.length - row) + 3;
    const bar = (start, until, name, title) => chart.append(svg("rect", { x: x(start), y: top, class: name,
      width: Math.max(1, x(until) - x(start)), height: MARGIN.plan - 5 }, svg("title", {}, title)));
    waits.forEach(({ start, end: until }) => bar(start, until, "wait", `waiting and placing, ${spokenTime(until - start)}`));
    lights.forEach(({ start, end: until }) => bar(start, until, "light", `light on, ${spokenTime(until - start)}`));
    placed.forEach(({ time, what }) => chart.append(svg("line", { x1: x(time), x2: x(time), y1: top - 2,
      y2: top + MARGIN.plan - 4, class: "tick" }, svg("title", {}, `${spokenTime(time)}: ${what}`))));
    if (results.length > 1)
      chart.append(svg("text", { x: MARGIN.left - 6, y: top + 8, "text-anchor": "end", class: `letter result-${result.letter}` }, result.letter));
  }

  function draw() {
    const width = Math.max(260, box.clientWidth);
    const base = height - MARGIN.bottom - MARGIN.gap - MARGIN.plan * results.length;
    const scale = width - MARGIN.left - MARGIN.right;
    x = (time) => MARGIN.left + (scale * time) / end;
    const y = (value) => base - ((base - MARGIN.top) * value) / highest;
    const peaks = results.map((result, i) => {
      const peak = histories[i].reduce((a, b) => (b.value > a.value ? b : a), { time: 0, value: 0 });
      return `${results.length > 1 ? `plan ${result.letter}: ` : ""}highest ${shortNumber(peak.value)} at ${spokenTime(peak.time)}`;
    });
    const chart = svg("svg", { width, height, role: "img",
      "aria-label": `Stress-to-strength ratio of the ${wallLabel(wall)} against time; ${peaks.join("; ")}`,
      onclick: (event) => clock.goTo(((event.offsetX - MARGIN.left) / scale) * end) });
    chart.append(svg("text", { x: MARGIN.left, y: 13, class: "strong" }, wallLabel(wall)));
    const step = highest > 4 ? 2 : highest > 2 ? 1 : 0.5;
    for (let value = 0; value <= highest; value += step) {
      chart.append(svg("line", { x1: MARGIN.left, x2: width - MARGIN.right, y1: y(value), y2: y(value), class: "grid" }));
      chart.append(svg("text", { x: MARGIN.left - 6, y: y(value) + 4, "text-anchor": "end" }, shortNumber(value)));
    }
    chart.append(svg("line", { x1: MARGIN.left, x2: width - MARGIN.right, y1: y(1), y2: y(1), class: "one" }));
    chart.append(svg("text", { x: width - MARGIN.right, y: y(1) - 4, "text-anchor": "end", class: "faint" }, "bond strength reached"));
    timeTicks(end, scale).forEach((time) => {
      chart.append(svg("line", { x1: x(time), x2: x(time), y1: height - MARGIN.bottom, y2: height - MARGIN.bottom + 4, class: "ink" }));
      chart.append(svg("text", { x: x(time), y: height - MARGIN.bottom + 16, "text-anchor": "middle" }, spokenTime(time)));
    });
    results.forEach((result, i) => {
      chart.append(svg("path", { d: path(histories[i], x, y), class: `line result-${result.letter}` }));
      addPlan(chart, result, i, width);
    });
    cursor = svg("line", { y1: MARGIN.top - 4, y2: height - MARGIN.bottom, class: "cursor" });
    chart.append(cursor);
    box.replaceChildren(chart);
    move(clock.time);
  }
  function move(time) {
    cursor?.setAttribute("x1", x(time));
    cursor?.setAttribute("x2", x(time));
  }
  new ResizeObserver(draw).observe(box);
  clock.listen(move);
  return { box };
}

/** Explains lines and bars of the charts. */
export function chartKey(results) {
  const key = (name, text) => element("span", { class: "key" }, element("i", { class: `swatch ${name}` }), text);
  return element("p", { class: "keys" },
    results.length > 1 ? results.map((result) => key(`line result-${result.letter}`, `${result.letter}: ${result.summary.title}`)) : null,
    key("light", "light on"), key("wait", "waiting and placing"), key("tick", "increment placed"));
}
