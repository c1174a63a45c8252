// What two or more results do differently: the words of the comparison, and a table.

import { element } from "./element.js";
import { percent, shortNumber, spokenTime, wallLabel } from "./words.js";

/** Shares differ by percentage points. */
function points(share) {
  return percent(share).replace("%", "points");
}

const INTACT = [
  { name: "highest ratio while all of the wall is filled, 95th percentile", of: ({ highest_p95 }) => highest_p95?.stress_to_strength_p95 ?? null,
    text: shortNumber, apart: shortNumber, when: ({ highest_p95 }) => highest_p95.time_s },
  { name: "largest area at its strength, of the whole wall", of: ({ worst }) => worst.share_of_whole_at_strength ?? null, text: percent, apart: points,
    when: ({ worst }) => worst.time_s },
];
const DEBONDING = [
  { name: "let go at the end, of the whole wall", of: ({ end }) => end.share_of_whole_debonded ?? null, text: percent, apart: points },
  { name: "begun to lose strength, or let go, of the whole wall", of: ({ end }) => end.share_of_whole_softened ?? null, text: percent, apart: points },
];

function rowOf(result, wall) {
  return (result.summary.bond ?? []).find((row) => row.wall === wall && row.substrate === "all");
}

function signed(difference, text) {
  if (difference === 0) return "same";
  return `${difference > 0 ? "+" : "−"}${text(Math.abs(difference))}`;
}

function cells(results, wall, measure) {
  const rows = results.map((result) => rowOf(result, wall));
  const first = rows[0] ? measure.of(rows[0]) : null;
  return rows.flatMap((row, i) => {
    const value = row ? measure.of(row) : null;
    const when = value !== null && measure.when ? element("small", {}, ` at ${spokenTime(measure.when(row))}`) : null;
    const own = element("td", {}, value === null ? "–" : measure.text(value), when);
    const difference = value === null || first === null ? "–" : signed(value - first, measure.apart);
    return i ? [own, element("td", { class: "difference" }, difference)] : [own];
  });
}

function table(results, walls) {
  const heads = results.flatMap(({ letter }, i) =>
    [element("th", { scope: "col" }, letter), ...(i ? [element("th", { scope: "col" }, `${letter} − ${results[0].letter}`)] : [])]);
  const measures = results.every(({ summary }) => summary.mode === "debonding") ? DEBONDING : INTACT;
  const body = measures.flatMap((measure) => [
    element("tr", { class: "measure" }, element("th", { scope: "colgroup", colspan: 2 * results.length }, measure.name)),
    ...walls.map((wall) => element("tr", {}, element("th", { scope: "row" }, wallLabel(wall)), cells(results, wall, measure))),
  ]);
  const chair = results.flatMap(({ summary }, i) => {
    const own = element("td", {}, spokenTime(summary.chair_time_s));
    return i ? [own, element("td", { class: "difference" }, signed(summary.chair_time_s - results[0].summary.chair_time_s, spokenTime))] : [own];
  });
  return element("table", {},
    element("thead", {}, element("tr", {}, element("th", { scope: "col" }, "wall"), heads)),
    element("tbody", {}, body, element("tr", { class: "measure" }, element("th", { scope: "row" }, "chair time"), chair)));
}

export function makeDifferences(results, comparison, walls) {
  const sentences = (comparison?.pairs ?? []).flatMap(({ sentences: each }) => each);
  return element("section", { class: "differences", "aria-labelledby": "differences-head" },
    element("h2", { id: "differences-head" }, "What differs"),
    sentences.map((sentence) => element("p", { class: "sentence" }, sentence)),
    comparison?.limits ? element("p", { class: "faint" }, comparison.limits) : null,
    element("div", { class: "table-box", tabindex: 0, role: "region", "aria-label": "Table of differences" }, table(results, walls)));
}
