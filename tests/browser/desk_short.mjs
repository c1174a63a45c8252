// A short session at the desk by mouse: the solid, a refusal, undo, two plans run coarse and compared. The whole of it is in
// desk.mjs: node desk_short.mjs SETSTRESS NODE_MODULES CHROMIUM

import assert from "node:assert/strict";
import { join } from "node:path";
import { closeBrowser, isAccessible, openBrowser, picture, said, scratch, type, withDesk, withPage } from "./desk_session.mjs";

const browser = await openBrowser();
await withDesk(["--folder", join(scratch, "desk")], async (address) => {
  await withPage(browser, address, { late: 300 }, async (page) => {
    await page.getByText("The floor lies 1.2 mm below the junction").waitFor();
    const depth = page.locator('[data-key="preparation.depth"]');
    await type(page, "preparation.depth", "99");
    await page.locator('[data-key="preparation.depth"][aria-invalid="true"]').waitFor();
    await page.getByText("must be between 0.5 and 12").first().waitFor();
    assert.ok(await page.locator("#run").isDisabled(), "what is refused is not run");
    await page.locator("#undo").click();
    await page.waitForFunction(() => document.querySelector('[data-key="preparation.depth"]').value === "5.4");
    const before = await page.evaluate("deskTimes.solid");
    const slider = await page.locator('[data-key="preparation.depth slider"]').boundingBox();
    await page.mouse.click(slider.x + slider.width * 0.2, slider.y + slider.height / 2);
    await page.waitForFunction((drawn) => deskTimes.solid > drawn, before);
    assert.ok(Number(await depth.inputValue()) < 4, "the slider was moved");
    await page.locator("#walls").getByText("C-factor of the whole filling").waitFor();
    assert.equal(await page.locator("#walls").getByText("radicular dentin").count(), 0, "the floor lies on the crown now");
    await page.locator("#live-B table").waitFor();
    await isAccessible(page);
    await picture(page, "short");
    await page.locator("#run").click();
    await said(page, "Compared.");
    await page.frameLocator("iframe").locator(".sentence").first().waitFor({ state: "attached" });
  });
});
await closeBrowser(browser);
