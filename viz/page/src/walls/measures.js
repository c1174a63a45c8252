// What is told of a wall at an instant, from its row of walls.csv: one list for charts and tables.

import { chance, percent, shortNumber } from "../words.js";

const isGiven = (text) => text !== "" && text !== null && text !== undefined;
/** The number in a cell; null where nothing of the wall was filled yet. */
const cell = (column) => (row) => (isGiven(row[column]) ? Number(row[column]) : null);

/**
 * `name` in charts, `head` in tables; `of(row)` in the unit of the files, `factor` to `unit`, `text` in words of its own. `letsGo`: of a bond that
 * may let go only; `needsFine`: a coarse mesh cannot give it; `holds`: of one that is assumed to hold (a bond that lost strength stays at a ratio of 1).
 */
export const MEASURES = [
  { column: "placed_area_mm2", head: "filled", unit: "mm²", of: cell("placed_area_mm2"), tableOnly: true },
  { needsFine: true, column: "stress_to_strength_p95", name: "stress-to-strength ratio, 95th percentile of the area filled by then",
    head: "ratio, 95th percentile", unit: "", of: cell("stress_to_strength_p95"), isRatio: true },
  { column: "stress_to_strength_mean", name: "stress-to-strength ratio, mean of the area filled by then", head: "ratio, mean", unit: "",
    of: cell("stress_to_strength_mean"), isRatio: true },
  { needsFine: true, column: "share_of_whole_at_strength", name: "area at its strength or past it, of the whole wall",
    head: "at its strength or past it, of the whole wall", unit: "%", factor: 100, of: cell("share_of_whole_at_strength") },
  { needsFine: true, column: "chance_started_failing", name: "chance that it has started to fail somewhere by then, as sticks scatter",
    head: "chance that it has started to fail somewhere", unit: "%", factor: 100, of: cell("chance_started_failing"),
    text: chance, holds: true },
  { column: "share_of_whole_debonded", name: "area let go, of the whole wall", head: "let go, of the whole wall", unit: "%", factor: 100,
    of: cell("share_of_whole_debonded"), letsGo: true },
  { column: "normal_traction_mean_MPa", name: "normal traction, mean", head: "normal traction, mean", unit: "MPa", of: cell("normal_traction_mean_MPa") },
  { column: "shear_traction_mean_MPa", name: "shear traction, mean", head: "shear traction, mean", unit: "MPa", of: cell("shear_traction_mean_MPa") },
  { column: "largest_gap_um", name: "largest gap", head: "largest gap", unit: "µm", of: cell("largest_gap_um"), letsGo: true },
  { column: "conversion_mean", name: "conversion next to the wall, mean", head: "conversion next to it, mean", unit: "%", factor: 100,
    of: cell("conversion_mean") },
];

/** A value `of` a row as people read it; percentages with their sign. */
export function textOf({ unit, text }, value) {
  return value === null ? "–" : text ? text(value) : unit === "%" ? percent(value) : shortNumber(value);
}

const FEWEST_AVERAGING_POINTS = 5;  // as of pictures and tables (viz/words/coarse_mesh.hpp)
/** Whether percentiles and areas of a result follow its mesh. */
export function tooCoarse({ summary }) {
  return (summary.bond ?? []).some(({ wall, substrate, averaging_points_mean: points }) => wall !== "all" && substrate === "all" && points < FEWEST_AVERAGING_POINTS);
}
/** "~" before what a mesh is too coarse for. */
export const markOf = (result, { needsFine }) => (needsFine && tooCoarse(result) ? "~" : "");
/** What "~" means, where it stands. */
export const MARK_WORDS = "~ the mesh is too coarse for percentiles, areas at strength and chances.";

export function mayLetGo(result) {
  return result.summary.mode === "debonding";
}

/** Those that some of the results can tell. */
export function measuresOf(results) {
  return MEASURES.filter(({ column, letsGo, holds }) => results.some(({ table }) => table.names.includes(column)) &&
    (!letsGo || results.some(mayLetGo)) && (!holds || !results.every(mayLetGo)));
}

export function withUnit(text, unit) {
  return unit ? `${text} [${unit}]` : text;
}
