// Charts of the walls against time: of the chosen wall for one result, of every wall for several.

import { element, labelled } from "./element.js";
import { HistoryChart } from "./history_chart.js";
import { historyOf } from "./wall_table.js";
import { wallLabel } from "./words.js";

const MEASURES = [
  { column: "stress_to_strength_p95", name: "stress-to-strength ratio, 95th percentile by area", unit: "-", factor: 1, isRatio: true },
  { column: "stress_to_strength_mean", name: "stress-to-strength ratio, mean", unit: "-", factor: 1, isRatio: true },
  { column: "share_of_whole_at_strength", name: "area at its strength, of the whole wall", unit: "%", factor: 100 },
  { column: "share_of_whole_debonded", name: "area let go, of the whole wall", unit: "%", factor: 100, lettingGo: true },
  { column: "normal_traction_mean_MPa", name: "normal traction, mean", unit: "MPa", factor: 1 },
  { column: "shear_traction_mean_MPa", name: "shear traction, mean", unit: "MPa", factor: 1 },
  { column: "largest_gap_um", name: "largest gap", unit: "µm", factor: 1, lettingGo: true },
];

/** The upper end of the axis that holds all walls of all results. */
function highestOf(results, walls, measure) {
  const all = results.flatMap(({ table }) => walls.flatMap((wall) => historyOf(table, wall, measure.column).map(({ value }) => measure.factor * value)));
  return 1.04 * Math.max(measure.isRatio ? 1.2 : 0, ...all) || 1;
}

/** Explains lines and bars of the charts. */
function chartKey(results, measure) {
  const key = (name, text) => element("span", { class: "key" }, element("i", { class: `swatch ${name}` }), text);
  return element("p", { class: "keys" },
    results.length > 1 ? results.map((result) => key(`line result-${result.letter}`, `${result.letter}: ${result.summary.title}`)) : null,
    measure.isRatio ? key("one", "1: bond strength reached") : null, key("light", "light on"), key("wait", "waiting and placing"), key("tick", "increment placed"));
}

/** Section with `choose(wall)`, which marks or draws the chart of a wall. */
export function makeHistory(results, walls, clock, chooseWall) {
  const several = results.length > 1;
  const all = [...walls, "all"];
  const debonding = results.some(({ summary }) => summary.mode === "debonding");
  const measures = MEASURES.filter(({ lettingGo }) => debonding || !lettingGo);
  // Where bonds let go, ratios end at 1: the debonded area says more.
  let measure = measures.find(({ column }) => column === (debonding ? "share_of_whole_debonded" : "stress_to_strength_p95"));
  let chosen = null;
  let charts = [];
  const key = element("div", {});
  const box = element("div", { class: "charts" });
  const wallSelect = element("select", { onchange: () => chooseWall(wallSelect.value) },
    all.map((wall) => element("option", { value: wall }, wallLabel(wall))));
  const measureSelect = element("select", { onchange: () => {
    measure = measures[measureSelect.selectedIndex];
    draw();
  } }, measures.map((each) => element("option", { selected: each === measure }, `${each.name} [${each.unit}]`)));

  function mark() {
    wallSelect.value = chosen;
    for (const chart of charts) chart.box.classList.toggle("chosen", several && chart.wall === chosen);
  }
  function draw() {
    const options = { height: several ? 190 : 280, measure, highest: highestOf(results, all, measure) };
    charts = (several ? all : [chosen]).map((wall) => new HistoryChart(results, wall, clock, options));
    key.replaceChildren(chartKey(results, measure));
    box.replaceChildren(...charts.map((chart) => chart.box));
    mark();
  }
  function choose(wall) {
    chosen = wall;
    if (several && charts.length > 0) mark();
    else draw();
  }
  clock.listen((time) => charts.forEach((chart) => chart.move(time)));
  const section = element("section", { class: "history", "aria-labelledby": "history-head" },
    element("h2", { id: "history-head" }, "Walls against time"),
    element("p", { class: "faint" }, "Click a chart to go to that time; click a wall in the view, or choose it here, to pick it."),
    element("p", { class: "choices" }, labelled("wall", wallSelect), labelled("shown", measureSelect)),
    key, box);
  return { section, choose };
}
