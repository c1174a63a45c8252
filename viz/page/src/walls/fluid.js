// The fluid in enclosed gaps, bite by bite, as the summary tells it.

import { element } from "../element.js";
import { shortNumber } from "../words.js";

const HEADS = ["bite", "gap", "open dentin [mm²]", "full [%]", "highest [kPa]", "lowest [kPa]", "to the pulp [nL]", "up to [µm/s]", "outward [nL]", "up to [µm/s]"];

const rowOf = (bite, gap) => [
  `${bite.bite}, ${shortNumber(bite.force_N)} N`, String(gap.gap), shortNumber(gap.open_dentin_mm2),
  gap.share_filled_before === null ? "–" : shortNumber(100 * gap.share_filled_before),
  shortNumber(gap.highest_pressure_kPa), shortNumber(gap.lowest_pressure_kPa),
  shortNumber(gap.to_pulp_nL), shortNumber(gap.fastest_to_pulp_um_s),
  shortNumber(gap.outward_nL), shortNumber(gap.fastest_outward_um_s)];

function table(fluid, title) {
  const rows = fluid.bites.flatMap((bite) => bite.gaps.map((gap) => rowOf(bite, gap)));
  if (rows.length === 0) return element("p", {}, "No gap holds fluid.");
  return element("div", { class: "table-box", tabindex: 0, role: "region", "aria-label": `Fluid in gaps of ${title}` },
    element("table", {}, element("thead", {}, element("tr", {}, HEADS.map((head) => element("th", { scope: "col" }, head)))),
      element("tbody", {}, rows.map(([first, ...rest]) => element("tr", {}, element("th", { scope: "row" }, first),
        rest.map((text) => element("td", {}, text)))))));
}

/** Section of the fluid in gaps of all results that have it; null where none does. */
export function makeFluid(results) {
  const filled = results.filter(({ summary }) => summary.gap_fluid);
  if (filled.length === 0) return null;
  const { pain_to_pulp_um_s: toPulp, pain_outward_um_s: outward, pain_source: source, left_out: leftOut } = filled[0].summary.gap_fluid;
  return element("section", { class: "fluid", "aria-labelledby": "fluid-head" },
    element("h2", { id: "fluid-head" }, "Fluid in enclosed gaps under bites"),
    element("p", { class: "faint" }, `Speeds are means in open dentin, beside ${shortNumber(toPulp)} µm/s to the pulp and ${shortNumber(outward)} outward: ${source}. Left out: ${leftOut}.`),
    filled.flatMap((result) => [element("h3", {}, `${results.length > 1 ? `${result.letter}: ` : ""}${result.summary.title}`),
      table(result.summary.gap_fluid, result.summary.title)]));
}
