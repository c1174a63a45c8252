// What is drawn is also said, borders and bars are seen, lines are told apart without colour, the clock does not talk
// while it plays, the page does without WebGL, and a printed sheet holds all of it.

import assert from "node:assert/strict";
import { pages, withPage } from "./pages.mjs";

const luminance = (rgb) => rgb.map((each) => each / 255).map((each) => (each <= 0.04045 ? each / 12.92 : ((each + 0.055) / 1.055) ** 2.4))
  .reduce((sum, each, i) => sum + each * [0.2126, 0.7152, 0.0722][i], 0);
/** Contrast of two colours (WCAG 2.2). */
function contrast(first, second) {
  const [low, high] = [first, second].map(luminance).sort((a, b) => a - b);
  return (high + 0.05) / (low + 0.05);
}
const numbers = (colour) => colour.match(/[\d.]+/g).slice(0, 3).map(Number);

for (const colorScheme of ["light", "dark"])
  await withPage(pages.two, async (page) => {
    const seen = await page.evaluate(() => {
      const style = (selector) => getComputedStyle(document.querySelector(selector));
      return { sheet: style(".time-bar").backgroundColor, paper: getComputedStyle(document.body).backgroundColor,
        button: style(".time-row button").borderTopColor, select: style("#field").borderTopColor,
        light: style(".strips .light").fill, wait: style(".strips .wait").fill,
        first: style(".chart path.result-A").stroke, second: style(".chart path.result-B").stroke,
        dashes: [style(".chart path.result-A").strokeDasharray, style(".chart path.result-B").strokeDasharray] };
    });
    for (const name of ["button", "select", "light", "wait", "first", "second"])
      for (const ground of ["sheet", "paper"]) {
        const found = contrast(numbers(seen[name]), numbers(seen[ground]));
        assert.ok(found >= 3, `${colorScheme}: ${name} against ${ground}: ${found.toFixed(2)}`);
      }
    assert.notEqual(seen.dashes[0], seen.dashes[1], "line B is dashed");
    assert.ok(contrast(numbers(seen.first), numbers(seen.second)) > 1.7, "lines A and B differ in lightness");
    assert.deepEqual(await page.locator(".chart").first().locator(".at-end").allTextContents(), ["A", "B"]);

    const now = page.locator(".now");
    assert.equal(await now.getAttribute("aria-live"), "polite");
    await page.evaluate("setstressPage.clock.go(0); setstressPage.clock.play()");
    assert.equal(await now.getAttribute("aria-live"), "off");
    await page.evaluate("setstressPage.clock.pause(); setstressPage.clock.goToMoment('end')");
    assert.equal(await now.getAttribute("aria-live"), "polite");

    const stage = page.locator(".stage").first();
    const spoken = await page.locator(`#${await stage.getAttribute("aria-describedby")}`).textContent();
    assert.match(spoken, /^Shown by colour: stress-to-strength ratio, at 11 min/);
    assert.match(spoken, /floor: ratio, 95th percentile [\d.]+, .*%/);

    // On paper nothing sticks out: a sheet of A4 between its margins is about 700 px wide.
    await page.setViewportSize({ width: 700, height: 990 });
    await page.emulateMedia({ media: "print" });
    await page.waitForTimeout(300);
    const sticksOut = await page.evaluate(() => [...document.querySelectorAll(".strips svg, .chart svg, .legend svg, table")]
      .filter((each) => each.getBoundingClientRect().right > document.documentElement.clientWidth + 1).map((each) => each.getAttribute("class") ?? each.tagName));
    assert.deepEqual(sticksOut, []);
  }, { colorScheme });

await withPage(pages.two, async (page, { complaints }) => {
  assert.equal(await page.locator("canvas").count(), 0);
  assert.deepEqual(complaints, []);
  assert.match(await page.locator("main").innerText(), /No view in space/);
  assert.equal(await page.locator(".controls").isVisible(), false, "nothing to turn or colour");
  assert.ok((await page.locator(".sentence").count()) > 1, "the words are there");
  await page.locator(".chart path.result-B").first().waitFor({ state: "attached" });
  assert.ok((await page.locator(".chart path.result-B").count()) > 3, "the charts are there");
  assert.ok((await page.locator(".numbers td[data-column]").count()) > 20, "the tables are there");
  await page.evaluate("setstressPage.clock.go(3); setstressPage.chooseWall('floor')");
  assert.equal(await page.evaluate("setstressPage.wall"), "floor");
  assert.deepEqual(complaints, []);
}, {}, ["--disable-3d-apis"]);
