// The table of differences says what its numbers are, and calls nothing a difference that the mesh alone can make.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { compared, folder, pages, plans, wallsCsv, withPage } from "./pages.mjs";

const summaries = plans.map((plan) => JSON.parse(readFileSync(join(folder, compared, plan, "summary.json"), "utf8")));

const rowsOf = (plan, wall) => wallsCsv(plan).filter((row) => row.wall === wall && row.substrate === "all" && row.stress_to_strength_p95 !== "");
const highest = (plan, wall) => rowsOf(plan, wall).reduce((a, b) => (Number(b.stress_to_strength_p95) > Number(a.stress_to_strength_p95) ? b : a));
const short = (value) => Number(Number(value).toPrecision(3)).toString();

/** [[heading of the block, wall, cells ...], ...] */
const readTable = () => {
  let block = "";
  return [...document.querySelectorAll(".differences tbody tr")].flatMap((row) => {
    if (row.className === "measure" && row.querySelectorAll("td").length === 0) block = row.innerText.trim();
    return row.querySelectorAll("td").length ? [[block, ...[...row.children].map((cell) => cell.innerText.trim().replace(/^~/, ""))]] : [];
  });
};

await withPage(pages.two, async (page) => {
  const table = await page.evaluate(readTable);
  for (const [, wall, first, second] of table.filter(([block]) => block === "the same over all instants, of the area filled by then")) {
    const name = wall === "whole bond" ? "all" : wall.replace(/ wall$/, "");
    [first, second].forEach((text, plan) => {
      const peak = highest(plans[plan], name);
      assert.ok(text.startsWith(`${short(peak.stress_to_strength_p95)} at `), `${wall}: ${text} is the highest of all instants`);
      const whole = Number(peak.placed_area_mm2) > 0.999 * Number(peak.area_mm2);
      assert.match(text, whole ? /on all of it$/ : new RegExp(`on the ${short(peak.placed_area_mm2)} of ${short(peak.area_mm2)} mm² filled then$`));
    });
  }
  for (const name of ["highest stress-to-strength ratio while all of the wall is filled, 95th percentile",
    "the same over all instants, of the area filled by then", "largest area at its strength, of the whole wall"])
    assert.ok(table.some(([block]) => block === name), name);
  assert.ok(!table.some(([block]) => /debonded|gap/.test(block)), "a bond assumed to hold lets nothing go");
  for (const [block, wall, first, second, apart] of table.filter(([block]) => block.includes("ratio"))) {
    const [a, b] = [parseFloat(first), parseFloat(second)];
    const clear = Math.abs(a - b) > 1.02 * Math.max(0.05, 0.05 * Math.max(a, b));
    const same = Math.abs(a - b) < 0.98 * Math.max(0.05, 0.05 * Math.max(a, b));
    assert.ok(same ? apart === "same" : !clear || apart !== "same", `${block}, ${wall}: ${first} and ${second}: ${apart}`);
  }
  const chances = await page.locator('.numbers td[data-column="chance_started_failing"]').evaluateAll((cells) => cells.map((cell) => [cell.dataset.exact, cell.innerText.trim()]));
  assert.ok(chances.length > 0);
  for (const [exact, told] of chances) {
    const chance = Number(exact);
    assert.equal(told.replace(/^~/, ""), exact === "" ? "–" : chance < 0.005 ? "<1 %" : chance > 0.995 ? ">99 %" : `${(100 * chance).toFixed(0)} %`, "a chance is never quite none or all");
  }
  const text = await page.locator("main").innerText();
  assert.match(text, /bond assumed to hold/);
  const isCoarse = summaries.some(({ bond }) => bond.some(({ wall, substrate, averaging_points_mean: points }) => wall !== "all" && substrate === "all" && points < 5));
  assert.equal(/~\d/.test(text), isCoarse, "percentiles of a coarse mesh are marked");
  assert.equal(text.includes("too coarse for percentiles, areas"), isCoarse, "and it is said what the mark means");
  assert.doesNotMatch(text, /\[-\]|\(-\)|\d um\b|highest ratio/);
  const fields = await page.locator("#field option").allInnerTexts();
  assert.ok(!fields.some((name) => /gap|lost/.test(name)), `no gap to show: ${fields}`);
});
