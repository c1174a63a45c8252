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

  // A light of twice the time is twice as wide, and lies on the axis where its times say.
  const bars = await page.evaluate(() => [...document.querySelectorAll(".strips .light")].map((bar) => [Number(bar.getAttribute("x")), Number(bar.getAttribute("width"))]));
  const [first, second] = bars; // 40 s from 25 s on, 20 s from 15 s on
  assert.ok(Math.abs(first[1] / second[1] - 2) < 0.01, `${first[1]} against ${second[1]}`);
  assert.ok(Math.abs((first[0] - second[0]) / second[1] - 0.5) < 0.01, "starts 10 s later");
  assert.match(await page.locator(".strips").textContent(), /5 min/, "the axis is labelled");
});
