// Turning or zooming one view turns and zooms the others alike.

import assert from "node:assert/strict";
import { pages, withPage } from "./pages.mjs";

const poses = (page) => page.evaluate("setstressPage.panels.map(({ view }) => view.pose)");

function assertAlike([first, second]) {
  for (const part of ["position", "focus", "up"])
    first[part].forEach((value, i) => assert.ok(Math.abs(value - second[part][i]) < 1e-9, `${part} differs`));
}

await withPage(pages.two, async (page) => {
  const before = await poses(page);
  assertAlike(before);
  for (const panel of [0, 1]) {
    const start = await poses(page);
    const { x, y, width, height } = await page.locator(".canvas-box").nth(panel).boundingBox();
    await page.mouse.move(x + width / 2, y + height / 2);
    await page.mouse.down();
    await page.mouse.move(x + width / 2 + 60, y + height / 2 + 25, { steps: 6 });
    await page.mouse.up();
    await page.mouse.wheel(0, -200);
    await page.waitForTimeout(300);
    const after = await poses(page);
    assertAlike(after);
    assert.notDeepEqual(after[0].position, start[0].position, `dragging in view ${panel + 1} turns both`);
  }
  await page.getByRole("button", { name: "occlusal" }).click();
  const above = await poses(page);
  assertAlike(above);
  assert.ok(above[0].position[2] > above[0].focus[2] + 5, "the occlusal view looks down");
  // A click that does not turn the view chooses the wall under it.
  await page.getByRole("button", { name: "into the cavity" }).click();
  await page.waitForTimeout(200);
  const floor = page.locator(".stage").first().locator(".wall-labels span", { hasText: /^floor$/ });
  const { x, y, width, height } = await floor.boundingBox();
  await page.mouse.click(x + width / 2, y + height / 2);
  assert.equal(await page.evaluate("setstressPage.wall"), "floor");
});
