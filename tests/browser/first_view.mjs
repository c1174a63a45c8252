// The page opens with full against full, offers each at its worst, and has its time to scale.

import assert from "node:assert/strict";
import { pages, plans, wallsCsv, withPage } from "./pages.mjs";

const shown = (page) => page.evaluate(() => [...document.querySelectorAll(".numbers .table-box")].map(({ dataset }) => Number(dataset.time)));
const lastTime = (plan) => Number(wallsCsv(plan).at(-1).time_s);
function worstTime(plan) {
  const rows = wallsCsv(plan).filter(({ wall, substrate, placed_area_mm2: placed }) => wall === "all" && substrate === "all" && Number(placed) > 0);
  const reached = (row) => Number(row.area_fraction_above_1) * Number(row.placed_area_mm2);
  return Number(rows.reduce((a, b) => (reached(b) > reached(a) ? b : a)).time_s);
}

await withPage(pages.two, async (page) => {
  assert.deepEqual(await shown(page), plans.map(lastTime), "each at its end at first");
  const empty = await page.evaluate(() => setstressPage.panels.some(({ result, scene }) => result.instants[scene.instant].looks.includes(3)));
  assert.equal(empty, false, "both filled");
  await page.selectOption("#moment", "worst");
  const times = await shown(page);
  times.forEach((time, i) => assert.ok(Math.abs(time - worstTime(plans[i])) < 5, `${plans[i]} at ${time} s, worst at ${worstTime(plans[i])} s`));
  assert.notEqual(times[0], times[1]);
  const slider = Number(await page.locator("#time").inputValue());
  assert.ok(Math.abs(slider - times[0]) < 5, `the slider stands at ${slider} s, where the first is shown`);
  await page.locator("#time").focus();
  await page.keyboard.press("Home");
  assert.equal(await page.locator("#moment").inputValue(), "same", "moving the slider shows all at one time");
  const firstTimes = await page.evaluate("setstressPage.results.map(({ instants }) => instants[0].time)");
  assert.deepEqual(await shown(page), firstTimes);

  // Lights of the same time are as wide, and lie on the axis where their times say.
  const bars = await page.evaluate(() => [...document.querySelectorAll(".strips .light")].map((bar) => [Number(bar.getAttribute("x")), Number(bar.getAttribute("width"))]));
  const [bulk, floor, rest] = bars; // 40 s each, from 25 s, 25 s and 390 s on
  for (const bar of [floor, rest]) assert.ok(Math.abs(bar[1] / bulk[1] - 1) < 0.01, `${bar[1]} against ${bulk[1]}`);
  assert.ok(Math.abs(floor[0] - bulk[0]) < 0.01 * bulk[1], "starts at the same time");
  assert.ok(Math.abs((rest[0] - bulk[0]) / bulk[1] - (390 - 25) / 40) < 0.05, "starts after the wait");
  assert.match(await page.locator(".strips").textContent(), /5 min/, "the axis is labelled");
});
