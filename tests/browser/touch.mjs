// On a phone one finger turns the views, two zoom them, and a tap chooses the wall under it.

import assert from "node:assert/strict";
import { pages, withPage } from "./pages.mjs";

const poses = (page) => page.evaluate(() => setstressPage.panels.map(({ view }) => view.pose));
const distance = ({ position, focus }) => Math.hypot(...position.map((each, i) => each - focus[i]));

await withPage(pages.two, async (page) => {
  const session = await page.context().newCDPSession(page);
  const touch = (type, ...touchPoints) => session.send("Input.dispatchTouchEvent", { type, touchPoints });
  const { x, y, width, height } = await page.locator(".canvas-box").first().boundingBox();
  const middle = { x: x + width / 2, y: y + height / 2 };

  const [before] = await poses(page);
  await touch("touchStart", middle);
  for (let step = 1; step < 8; ++step) await touch("touchMove", { x: middle.x + 8 * step, y: middle.y });
  await touch("touchEnd");
  await page.waitForTimeout(300);
  const [turned, follower] = await poses(page);
  assert.ok(Math.abs(distance(turned) - distance(before)) < 1e-6, "one finger does not zoom");
  assert.notDeepEqual(turned.position, before.position, "one finger turns");
  assert.deepEqual(follower.position, turned.position, "and the other view follows");

  const apart = (by) => [{ x: middle.x - by, y: middle.y, id: 0 }, { x: middle.x + by, y: middle.y, id: 1 }];
  await touch("touchStart", ...apart(30));
  for (let step = 1; step < 8; ++step) await touch("touchMove", ...apart(30 + 5 * step));
  await touch("touchEnd");
  await page.waitForTimeout(300);
  const [zoomed] = await poses(page);
  assert.ok(distance(zoomed) < 0.9 * distance(turned), "two fingers moving apart zoom in");

  await page.evaluate(() => setstressPage.lookInto());
  await page.waitForTimeout(300);
  const floor = await page.locator(".stage").first().locator(".wall-labels span", { hasText: /^floor$/ }).boundingBox();
  await page.touchscreen.tap(floor.x + floor.width / 2, floor.y + floor.height / 2);
  assert.equal(await page.evaluate(() => setstressPage.wall), "floor");
}, { viewport: { width: 390, height: 800 }, hasTouch: true, isMobile: true });
