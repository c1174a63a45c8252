// What two or more results do differently: the words of the comparison, and a table.

import { element } from "../element.js";
import { MARK_WORDS, markOf, mayLetGo, MEASURES, tooCoarse } from "./measures.js";
import { historyOf } from "./wall_table.js";
import { chance, percent, shortNumber, spokenTime, wallLabel } from "../words.js";

/** Shares differ by percentage points. */
function points(share) {
  return percent(share).replace("%", "points");
}

// What the mesh alone can change is no difference; the thresholds are those of cases/compare.
const ratiosAreSame = (a, b) => Math.abs(a - b) < Math.max(0.05, 0.05 * Math.max(a, b));
const sharesAreSame = (a, b) => Math.abs(a - b) < 0.05;
const gapsAreSame = (a, b) => Math.abs(a - b) < 0.05 * Math.max(a, b) || a === b;

const ofColumn = (wanted) => MEASURES.find(({ column }) => column === wanted);
const P95 = ofColumn("stress_to_strength_p95");

/** The highest 95th percentile over time, with the area that it stood on. */
function highest({ table }, wall) {
  const all = historyOf(table, wall, P95);
  if (all.length === 0) return null;
  const { time, value, row } = all.reduce((a, b) => (b.value > a.value ? b : a));
  const [placed, area] = [Number(row.placed_area_mm2), Number(row.area_mm2)];
  const on = placed > 0.999 * area ? "all of it" : `the ${shortNumber(placed)} of ${shortNumber(area)} mm² filled then`;
  return { value, says: `at ${spokenTime(time)}, on ${on}` };
}

function summaryRow({ summary }, wall) {
  return (summary.bond ?? []).find((row) => row.wall === wall && row.substrate === "all");
}

/** {value, says} of a number at an instant ("highest_p95", "worst" or "end") of the summary. */
function at(moment, key) {
  return (result, wall) => {
    const state = summaryRow(result, wall)?.[moment];
    const value = state?.[key] ?? null;
    return value === null ? null : { value, says: moment === "end" ? "" : `at ${spokenTime(state.time_s)}` };
  };
}

const onlyIf = (holds, of) => (result, wall) => (holds(result) ? of(result, wall) : null);
const holdsFast = (result) => !mayLetGo(result);

const SHARE = { text: percent, apart: points, same: sharesAreSame };
const CHANCE = { ...SHARE, text: chance };
const RATIO = { text: shortNumber, apart: shortNumber, same: ratiosAreSame };
const GAP = { text: (value) => `${shortNumber(value)} µm`, apart: (value) => `${shortNumber(value)} µm`, same: gapsAreSame };

/** `of`: {value, says} of a wall, null where the result cannot tell. */
const ROWS = [
  { name: "highest stress-to-strength ratio while all of the wall is filled, 95th percentile", needs: holdsFast, needsFine: true, ...RATIO,
    of: at("highest_p95", "stress_to_strength_p95") },
  { name: "the same over all instants, of the area filled by then", needs: holdsFast, needsFine: true, ...RATIO, of: highest },
  { name: "largest area at its strength, of the whole wall", needs: holdsFast, needsFine: true, ...SHARE, of: at("worst", "share_of_whole_at_strength") },
  { name: "chance that it has started to fail somewhere by the end", needs: holdsFast, needsFine: true, ...CHANCE, of: at("end", "chance_started_failing") },
  { name: "let go at the end, of the whole wall", needs: mayLetGo, ...SHARE, of: at("end", "share_of_whole_debonded") },
  { name: "begun to lose strength, or let go, at the end, of the whole wall", needs: mayLetGo, ...SHARE,
    of: at("end", "share_of_whole_softened") },
  { name: "largest gap at the end", needs: mayLetGo, ...GAP, of: at("end", "largest_gap_um") },
].map((row) => ({ ...row, of: onlyIf(row.needs, row.of) }));

function signed(difference, text) {
  return `${difference > 0 ? "+" : "−"}${text(Math.abs(difference))}`;
}

function cells(results, wall, row) {
  const [first, ...others] = results.map((result) => row.of(result, wall));
  const own = (each, result) => element("td", {}, each ? markOf(result, row) + row.text(each.value) : "–", each?.says ? element("small", {}, ` ${each.says}`) : null);
  const apart = (each) => (!each || !first ? "–" : row.same(each.value, first.value) ? "same" : signed(each.value - first.value, row.apart));
  return [own(first, results[0]), ...others.flatMap((each, i) => [own(each, results[i + 1]), element("td", { class: "difference" }, apart(each))])];
}

function chairTimes(results) {
  const times = results.map(({ summary }) => summary.chair_time_s);
  return times.flatMap((time, i) => {
    const apart = Math.round(time - times[0]);
    const difference = apart === 0 ? "same" : signed(apart, spokenTime);
    return [element("td", {}, spokenTime(time)), i ? element("td", { class: "difference" }, difference) : null];
  });
}

function table(results, walls) {
  const heads = results.flatMap(({ letter }, i) =>
    [element("th", { scope: "col" }, letter), ...(i ? [element("th", { scope: "col" }, `${letter} − ${results[0].letter}`)] : [])]);
  const body = ROWS.filter(({ needs }) => results.some(needs)).flatMap((row) => [
    element("tr", { class: "measure" }, element("th", { scope: "colgroup", colspan: 2 * results.length }, row.name)),
    ...walls.map((wall) => element("tr", {}, element("th", { scope: "row" }, wallLabel(wall)), cells(results, wall, row))),
  ]);
  return element("table", {},
    element("thead", {}, element("tr", {}, element("th", { scope: "col" }, "wall"), heads)),
    element("tbody", {}, body, element("tr", { class: "measure" }, element("th", { scope: "row" }, "chair time"), chairTimes(results))));
}

/** What was asked besides (why, how sure): sentences, and the charts of the pictures, which stand on white and have a
 *  style sheet of their own, shut off from that of the page. */
function answers(comparison) {
  return (comparison?.answers ?? []).flatMap(({ title, sentences }) => {
    const { charts = [] } = (comparison.charts ?? []).find((each) => each.title === title) ?? {};
    return [element("h3", {}, title), sentences.map((sentence) => element("p", { class: "sentence" }, sentence)),
      element("div", { class: "answer-charts" }, charts.map((svg) => {
        const figure = element("div");
        figure.attachShadow({ mode: "open" }).innerHTML = `<style>${comparison.chart_style}</style>${svg}`;
        return figure;
      }))];
  });
}

export function makeDifferences(results, comparison, walls) {
  const sentences = (comparison?.pairs ?? []).flatMap(({ sentences: each }) => each);
  return element("section", { class: "differences", "aria-labelledby": "differences-head" },
    element("h2", { id: "differences-head" }, "What differs"),
    sentences.map((sentence) => element("p", { class: "sentence" }, sentence)),
    element("p", { class: "faint" }, "\"same\": apart by less than the mesh alone can change (a ratio by 0.05 or 5 %, an area by 5 points, a gap by 5 %).", results.some(tooCoarse) ? ` ${MARK_WORDS}` : ""),
    comparison?.limits ? element("p", { class: "faint" }, comparison.limits) : null,
    element("div", { class: "table-box", tabindex: 0, role: "region", "aria-label": "Table of differences" }, table(results, walls)),
    answers(comparison));
}
