// Charts of the walls against time: of the chosen wall for one result, of every wall for several.

import { element, labelled } from "../element.js";
import { HistoryChart } from "./history_chart.js";
import { mayLetGo, measuresOf, withUnit } from "./measures.js";
import { historyOf } from "./wall_table.js";
import { wallLabel } from "../words.js";

/** The upper end of the axis that holds all walls of all results. */
function highestOf(results, walls, measure) {
  const all = results.flatMap(({ table }) => walls.flatMap((wall) => historyOf(table, wall, measure).map(({ value }) => (measure.factor ?? 1) * value)));
  return 1.04 * Math.max(measure.isRatio ? 1.2 : 0, ...all) || 1;
}

/** Explains lines and bars of the charts. */
function chartKey(results, measure) {
  const key = (name, text) => element("span", { class: "key" }, element("i", { class: `swatch ${name}` }), text);
  return element("p", { class: "keys" },
    results.length > 1 ? results.map((result) => key(`line result-${result.letter}`, `${result.letter}: ${result.summary.title}`)) : null,
    measure.isRatio ? key("one", "1: bond strength reached") : null, key("light", "light on"), key("wait", "waiting and placing"), key("tick", "increment placed"));
}

function chartOf(charts, wanted) {
  return charts.find(({ wall }) => wall === wanted) ?? charts[0];
}

/** Section with `choose(wall)`, which marks or draws the chart of a wall, and `bringIntoView()`. */
export function makeHistory(results, walls, clock, chooseWall) {
  const several = results.length > 1;
  const all = [...walls, "all"];
  const measures = measuresOf(results).filter(({ tableOnly }) => !tableOnly);
  // Where bonds let go, ratios end at 1: the debonded area says more.
  let measure = measures.find(({ column }) => column === (mayLetGo(results[0]) ? "share_of_whole_debonded" : "stress_to_strength_p95"));
  let chosen = null;
  let charts = [];
  const key = element("div", {});
  const box = element("div", { class: "charts" });
  const wallSelect = element("select", { onchange: () => chooseWall(wallSelect.value) },
    all.map((wall) => element("option", { value: wall }, wallLabel(wall))));
  const measureSelect = element("select", { onchange: () => {
    measure = measures[measureSelect.selectedIndex];
    draw();
  } }, measures.map((each) => element("option", { selected: each === measure }, withUnit(each.name, each.unit))));

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
  clock.listen(() => charts.forEach((chart) => chart.move()));
  const section = element("section", { class: "history", "aria-labelledby": "history-head" },
    element("h2", { id: "history-head" }, "Walls against time"),
    element("p", { class: "faint" }, "Click a chart to go to that time; click a wall in the view, or choose it here, to pick it."),
    element("p", { class: "choices" }, labelled("wall", wallSelect), labelled("shown", measureSelect)),
    key, box);
  return { section, choose, bringIntoView: () => chartOf(charts, chosen)?.box.scrollIntoView({ block: "nearest" }) };
}
