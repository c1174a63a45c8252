// Wherever the slider stands, the numbers shown are those of walls.csv at the instant shown.

import assert from "node:assert/strict";
import { pages, plans, wallsCsv, withPage } from "./pages.mjs";

const tables = plans.map(wallsCsv);

function check(shown, rows) {
  const instant = rows.reduce((a, b) => (Math.abs(b.time_s - shown.time) < Math.abs(a.time_s - shown.time) ? b : a)).time_s;
  assert.ok(Math.abs(instant - shown.time) < 1e-6 * Math.max(1, shown.time), `walls.csv has a row at ${shown.time} s`);
  assert.ok(shown.cells.length > 20);
  for (const { wall, column, exact, text } of shown.cells) {
    const row = rows.find((each) => each.time_s === instant && each.wall === wall && each.substrate === "all");
    assert.equal(exact, row[column], `${wall} ${column} at ${instant} s`);
    if (exact === "" || text.endsWith("%") || text === "0") continue;
    // Shown with three significant figures, whole numbers from 100 on.
    assert.ok(Math.abs(Number(text) - Number(exact)) <= Math.max(0.5e-2 * Math.abs(Number(exact)), 0), `${text} stands for ${exact}`);
  }
}

const readTables = () => [...document.querySelectorAll(".numbers .table-box")].map((box) => ({
  time: Number(box.dataset.time),
  cells: [...box.querySelectorAll("td[data-column]")].map((cell) => ({
    wall: cell.parentElement.dataset.wall, column: cell.dataset.column, exact: cell.dataset.exact, text: cell.innerText.replace(/^~/, "") })),
}));

await withPage(pages.two, async (page) => {
  const times = await page.evaluate("setstressPage.clock.times");
  const last = times.length - 1;
  const seen = new Set();
  for (const index of [0, Math.floor(last / 3), Math.floor(last / 2), last]) {
    await page.locator("#time").evaluate((slider, time) => {
      slider.value = time;
      slider.dispatchEvent(new Event("input"));
    }, times[index]);
    assert.equal(await page.evaluate("setstressPage.clock.index"), index, "the slider is linear in time");
    const shown = await page.evaluate(readTables);
    assert.equal(shown.length, 2);
    shown.forEach((each, plan) => check(each, tables[plan]));
    assert.ok(!shown.some(({ cells }) => cells.some(({ column }) => /debonded|gap/.test(column))), "a bond assumed to hold has no gaps");
    seen.add(JSON.stringify(shown));
  }
  assert.equal(seen.size, 4, "the numbers change with the instant");
});
