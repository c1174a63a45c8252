// The colours drawn are those of the legend, to the last step; what is not filled yet and what has let go can be told
// from it and from each other, light and dark.

import assert from "node:assert/strict";
import { pages, withPage } from "./pages.mjs";

/** {colour: share of pixels} of the commonest colours of a view. */
const commonest = (page) => page.evaluate(() => {
  const { view } = setstressPage.panels[0];
  view.drawNow();
  const canvas = view.container.querySelector("canvas");
  const copy = new OffscreenCanvas(canvas.width, canvas.height).getContext("2d");
  copy.drawImage(canvas, 0, 0);
  const { data } = copy.getImageData(0, 0, canvas.width, canvas.height);
  const counts = new Map();
  for (let i = 0; i < data.length; i += 4) {
    const hex = `#${[...data.subarray(i, i + 3)].map((each) => each.toString(16).padStart(2, "0")).join("")}`;
    counts.set(hex, (counts.get(hex) ?? 0) + (4 / data.length));
  }
  return Object.fromEntries([...counts].sort(([, a], [, b]) => b - a).slice(0, 4000));
});
const shareOf = (counts, colours) => colours.reduce((sum, colour) => sum + (counts[colour] ?? 0), 0);
const isBlack = (hex) => [1, 3, 5].every((at) => parseInt(hex.slice(at, at + 2), 16) < 0x40);
/** All triangles of the bond look so from now on. */
const pretend = (page, look) => page.evaluate((wanted) => {
  const { result } = setstressPage.panels[0];
  result.instants.at(-1).looks.fill(wanted);
  setstressPage.clock.goToMoment("end");
}, look);

for (const colorScheme of ["light", "dark"])
  await withPage(pages.one, async (page) => {
    await page.evaluate("setstressPage.nameWalls(false); setstressPage.choose({ tooth: 'hidden' })");
    const ratio = await page.evaluate("setstressPage.data.scales.ratio");
    assert.equal(ratio.top, 2, "scales of ratios end at 2, as in the pictures");
    const usual = await commonest(page);
    const holding = shareOf(usual, ratio.colours);
    const [paper] = Object.keys(usual);
    console.log(`${colorScheme}: ${(100 * holding).toFixed(1)} % of the view in colours of the legend`);
    assert.ok(holding > 0.1, "surfaces have the colours of the legend, whichever way they face");
    assert.match(await page.locator(".legend").innerText(), /2 or more/);

    await pretend(page, 2);
    const letGo = await commonest(page);
    const hatched = shareOf(letGo, Object.keys(letGo).filter((colour) => isBlack(colour) && colour !== paper));
    console.log(`let go: ${shareOf(letGo, ["#d6d6d6"])} grey, ${hatched} of hatching`);
    assert.ok(shareOf(letGo, ["#d6d6d6"]) > 0.02 && hatched > 0.01, "debonded: grey, densely hatched");
    assert.match(await page.locator(".legend").innerText(), /debonded/);
    await pretend(page, 3);
    const empty = await commonest(page);
    assert.ok(shareOf(empty, [...ratio.colours, "#d6d6d6"]) < 0.01, "not filled yet: neither grey nor a colour of the scale");
    const drawn = 1 - empty[paper];
    console.log(`not filled: ${drawn} drawn on the paper`);
    assert.ok(drawn > 0.008, "but hatched, not nothing: rims alone draw less than half of that");
    assert.match(await page.locator(".legend").innerText(), /not filled yet/);
  }, { colorScheme });
