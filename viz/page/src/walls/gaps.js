// What has let go at the end, gap by gap, as the summary tells it.

import { element } from "../element.js";
import { shortNumber, spokenTime, wallLabel } from "../words.js";

const HEADS = ["gap", "on", "area [mm²]", "widest [µm]", "mean [µm]", "way to the margin"];

function wayOf(gap, gaps) {
  if (gap.open_to_margin) return `open since ${spokenTime(gaps.records[gap.number - 1].open_since_s)}`;
  const sound = gap.sound_bond_to_margin_mm;
  if (sound === null) return "enclosed, no way leads to a margin";
  if (sound > 0) return `enclosed, ${shortNumber(sound)} mm of sound bond to the nearest margin`;
  return `enclosed: narrowest on the way ${shortNumber(gap.throat_um)} µm, below ${shortNumber(gaps.threshold_um)} µm`;
}

function wallsOf(gap) {
  const walls = new Map();
  for (const { wall, area_mm2: area } of gap.where) walls.set(wall, (walls.get(wall) ?? 0) + area);
  return [...walls].map(([wall, area]) => `${wallLabel(wall)} (${shortNumber(area)} mm²)`).join(", ");
}

function table(gaps, title) {
  const rows = [...gaps.end.gaps].sort((a, b) => b.area_mm2 - a.area_mm2);
  if (rows.length === 0) return element("p", {}, "Nothing has let go.");
  return element("div", { class: "table-box", tabindex: 0, role: "region", "aria-label": `Gaps of ${title}` },
    element("table", {}, element("thead", {}, element("tr", {}, HEADS.map((head) => element("th", { scope: "col" }, head)))),
      element("tbody", {}, rows.map((gap) => element("tr", {}, element("th", { scope: "row" }, String(gap.number)),
        [wallsOf(gap), shortNumber(gap.area_mm2), shortNumber(gap.widest_um), shortNumber(gap.mean_um), wayOf(gap, gaps)]
          .map((text) => element("td", {}, text)))))));
}

/** Section of the gaps of all results that follow them; null where none does. */
export function makeGaps(results) {
  const following = results.filter(({ summary }) => summary.gaps?.end);
  if (following.length === 0) return null;
  const several = results.length > 1;
  const { threshold_um: threshold, left_out: leftOut } = following[0].summary.gaps;
  return element("section", { class: "gaps", "aria-labelledby": "gaps-head" },
    element("h2", { id: "gaps-head" }, "Gaps at the end"),
    element("p", { class: "faint" }, `Connected parts of the bond that have let go, numbered as in pictures and gaps.csv. Open: a way to the rim of the bond that is nowhere narrower than ${shortNumber(threshold)} µm. Left out: ${leftOut}.`),
    following.flatMap((result) => [element("h3", {}, `${several ? `${result.letter}: ` : ""}${result.summary.title}`),
      table(result.summary.gaps, result.summary.title)]));
}
