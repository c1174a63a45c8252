// The cut starts in the middle of the cavity and says where it is; a click on a wall brings its chart into view.

import assert from "node:assert/strict";
import { pages, withPage } from "./pages.mjs";

await withPage(pages.two, async (page) => {
  await page.getByLabel("direction").selectOption("y");
  const place = page.locator(".place");
  assert.equal(await place.inputValue(), "0");
  assert.equal(await place.getAttribute("aria-valuetext"), "through the middle of the cavity");
  const apart = await page.evaluate(() => setstressPage.panels.map(({ scene, bondBounds }) => scene.choice.cut.origin[1] - bondBounds.middle[1]));
  apart.forEach((each) => assert.ok(Math.abs(each) < 1e-6, `${each} mm off the middle`));
  await place.focus();
  for (let press = 0; press < 12; ++press) await page.keyboard.press("ArrowRight");
  assert.equal(await place.getAttribute("aria-valuetext"), "1.2 mm to buccal of the middle of the cavity");
  assert.match(await page.locator(".controls").innerText(), /1\.2 mm to buccal/);
  const moved = await page.evaluate(() => setstressPage.panels[0].scene.choice.cut.origin[1] - setstressPage.panels[0].bondBounds.middle[1]);
  assert.ok(Math.abs(moved - 1.2) < 1e-6);

  await page.getByLabel("direction").selectOption("none");
  await page.evaluate("scrollTo(0, 0)");
  await page.waitForTimeout(200);
  const floor = page.locator(".stage").first().locator(".wall-labels span", { hasText: /^floor$/ });
  const { x, y, width, height } = await floor.boundingBox();
  await page.mouse.click(x + width / 2, y + height / 2);
  await page.waitForTimeout(1500);
  const chart = await page.locator(".chart.chosen").boundingBox();
  const bar = await page.locator(".time-bar").boundingBox();
  assert.ok(chart.y >= 0 && chart.y + chart.height <= 900, `chart from ${chart.y} on, ${chart.height} high`);
  assert.ok(bar.y + bar.height <= chart.y || bar.y >= chart.y + chart.height, "the time bar does not cover it");
  assert.match(await page.locator(".chart.chosen").textContent(), /floor/);
});
