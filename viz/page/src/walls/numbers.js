// The numbers of the instant, wall by wall, as they stand in walls.csv.

import { rowsAt } from "./wall_table.js";
import { element } from "../element.js";
import { MARK_WORDS, markOf, measuresOf, textOf, tooCoarse } from "./measures.js";
import { spokenTime, wallLabel } from "../words.js";

function cell(result, row, measure) {
  const { column, of } = measure;
  const value = of(row);
  const exact = value === null ? "" : row[column];
  return element("td", { "data-column": column, "data-exact": exact, title: exact }, value === null ? "–" : markOf(result, measure) + textOf(measure, value));
}

function table(result, time, bySubstrate, choose) {
  const columns = measuresOf([result]);
  const rows = rowsAt(result.table, time).filter((row) => (bySubstrate ? true : row.substrate === "all"));
  return element("table", {},
    element("thead", {}, element("tr", {}, element("th", { scope: "col" }, "wall"),
      bySubstrate ? element("th", { scope: "col" }, "substrate") : null,
      columns.map(({ head, unit }) => element("th", { scope: "col" }, head, unit ? element("small", {}, ` [${unit}]`) : null)))),
    element("tbody", {}, rows.map((row) => element("tr", { "data-wall": row.wall, "data-substrate": row.substrate,
        class: Number(row.stress_to_strength_p95) >= 1 ? "reached" : null },
      element("th", { scope: "row" }, element("button", { type: "button", class: "wall-name", onclick: () => choose(row.wall) }, wallLabel(row.wall))),
      bySubstrate ? element("td", {}, row.substrate) : null,
      columns.map((column) => cell(result, row, column))))));
}

/** Section whose `show(instants)` fills in the tables of the instants shown. */
export function makeNumbers(results, choose) {
  const several = results.length > 1;
  const tables = results.map(() => element("div", { class: "table-box", tabindex: 0, role: "region" }));
  const heads = results.map(() => element("h3", {}));
  let bySubstrate = false;
  let shown = null;
  const box = element("input", { type: "checkbox", id: "by-substrate", onchange: () => { bySubstrate = box.checked; show(shown); } });
  function show(instants) {
    shown = instants;
    results.forEach((result, i) => {
      const { time } = result.instants[instants[i]];
      heads[i].textContent = `${several ? `${result.letter}: ` : ""}${result.summary.title}, ${spokenTime(time)}`;
      tables[i].setAttribute("aria-label", `Numbers of ${result.summary.title}`);
      tables[i].dataset.time = time;
      tables[i].replaceChildren(table(result, time, bySubstrate, choose));
    });
  }
  const section = element("section", { class: "numbers", "aria-labelledby": "numbers-head" },
    element("h2", { id: "numbers-head" }, "Numbers of this instant"),
    element("p", { class: "faint" }, "Ratio is the stress-to-strength ratio; at 1 the strength is reached. Its mean and percentile are over the area filled by then. Point at a number for all of its digits; choose a wall for its history.", results.some(tooCoarse) ? ` ${MARK_WORDS}` : ""),
    element("p", {}, element("label", {}, box, " by substrate")),
    results.flatMap((_, i) => [heads[i], tables[i]]));
  return { section, show };
}
