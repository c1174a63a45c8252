// The 3D view draws what the numbers say: blue where the bond is below its strength, orange from there on, and
// nothing coloured before anything has been placed.

import assert from "node:assert/strict";
import { pages, pixelShares, plans, wallsCsv, withPage } from "./pages.mjs";

const bond = wallsCsv(plans[0]).filter(({ wall, substrate }) => wall === "all" && substrate === "all");
const worst = bond.reduce((a, b) => (Number(b.area_fraction_above_1) > Number(a.area_fraction_above_1) ? b : a));
assert.ok(Number(worst.area_fraction_above_1) > 0.02, "the plan of this test loads some bond past its strength");

await withPage(pages.one, async (page) => {
  await page.evaluate((time) => setstressPage.clock.goTo(time), Number(worst.time_s));
  const loaded = await pixelShares(page, 0);
  console.log("at worst:", loaded);
  assert.ok(loaded.paper > 0.2 && loaded.paper < 0.9);
  assert.ok(loaded.blue > 0.02, "bond below its strength is blue");
  assert.ok(loaded.orange > 0.002, "bond past its strength is orange");
  assert.ok(loaded.blue > loaded.orange, "most of the bond is below its strength");

  await page.evaluate("setstressPage.clock.go(0)");
  const early = await pixelShares(page, 0);
  console.log("at first:", early);
  assert.ok(early.orange < 0.0005, "no bond is past its strength before the light is on");

  await page.evaluate((time) => setstressPage.clock.goTo(time), Number(worst.time_s));
  await page.selectOption("#field", "conversion");
  const cured = await pixelShares(page, 0);
  console.log("conversion:", cured);
  assert.ok(cured.orange < 0.0005, "the scale of conversion has no orange");

  // A cut that takes the whole body away leaves the paper alone.
  await page.evaluate("setstressPage.cut('x', 101, false)");
  const cut = await pixelShares(page, 0);
  console.log("all cut away:", cut);
  assert.ok(cut.paper > 0.99, "a cut hides what lies before it");
});
