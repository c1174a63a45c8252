// Everything can be reached and done without a mouse.

import assert from "node:assert/strict";
import { pages, withPage } from "./pages.mjs";

const focused = (page) => page.evaluate(() => {
  const { activeElement: at } = document;
  return at.id || at.getAttribute("aria-label") || at.className || at.tagName;
});

await withPage(pages.one, async (page) => {
  const reached = [];
  for (let press = 0; press < 40; ++press) {
    await page.keyboard.press("Tab");
    reached.push(await focused(page));
  }
  console.log(reached.join(" > "));
  for (const wanted of ["Light or dark", "Play", "time", "Go to a key instant", "field", "by-substrate"])
    assert.ok(reached.includes(wanted), `Tab reaches ${wanted}`);
  assert.ok(reached.findIndex((name) => name.startsWith("3D view")) < reached.indexOf("time"), "views come before the clock");

  const index = () => page.evaluate("setstressPage.clock.index");
  await page.locator("#time").focus();
  await page.keyboard.press("Home");
  assert.equal(await index(), 0);
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowRight");
  assert.equal(await index(), 2);
  await page.keyboard.press(" ");
  assert.ok(await page.evaluate("setstressPage.clock.playing"), "space plays");
  await page.waitForFunction(() => setstressPage.clock.index > 3);
  await page.keyboard.press(" ");
  assert.ok(!(await page.evaluate("setstressPage.clock.playing")), "space pauses");

  const position = () => page.evaluate("setstressPage.panels[0].view.pose.position");
  await page.locator(".stage").focus();
  const before = await position();
  const stood = await index();
  await page.keyboard.press("ArrowLeft");
  assert.notDeepEqual(await position(), before, "arrow keys turn the view");
  assert.equal(await index(), stood, "and leave the clock alone");
  await page.keyboard.press("0");
  const controls = await page.locator("input, select, button").evaluateAll((all) =>
    all.filter((each) => !(each.labels?.length || each.getAttribute("aria-label") || each.innerText.trim())).length);
  assert.equal(controls, 0, "every control has a name for screen readers");
});
