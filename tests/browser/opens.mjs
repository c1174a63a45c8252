// The page opens by itself: no complaints, no network, light enough; how fast is printed, not judged, because it
// depends on what else the machine does.

import assert from "node:assert/strict";
import { statSync } from "node:fs";
import { join } from "node:path";
import { folder, pages, withPage } from "./pages.mjs";

for (const name of Object.values(pages))
  await withPage(name, async (page, { complaints, requests, milliseconds, url }) => {
    console.log(`${name}: first view ${Math.round(milliseconds)} ms after the start of loading`);
    assert.deepEqual(complaints, []);
    assert.deepEqual(requests.filter((each) => each !== url && !/^(data|blob):/.test(each)), []);
    assert.match(await page.locator("footer").innerText(), /^For education and research only; not a medical device\./);
    assert.match(await page.locator(".panel header").first().innerText(), /invented for demonstration/);
    assert.equal(await page.locator(".panel").count(), name === pages.one ? 1 : 2);
    const sentences = await page.locator(".sentence").allInnerTexts();
    if (name === pages.two) assert.match(sentences.join(" "), /chair time/, "the words of the comparison are there");
    // Nothing sticks out sideways on a phone.
    await page.setViewportSize({ width: 390, height: 800 });
    await page.waitForFunction(() => document.documentElement.scrollWidth === 390);
  });

assert.ok(statSync(join(folder, pages.two)).size < 15e6, "a page of two plans stays under 15 MB");
