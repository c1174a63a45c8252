// The report of a small study in a real browser: it opens by itself, without complaints or network, and fits a desk
// and a phone, light and dark: node report.mjs FOLDER NODE_MODULES CHROMIUM SETSTRESS

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [folder, modules, chromium, program] = process.argv.slice(2).map((path) => resolve(path));
rmSync(folder, { recursive: true, force: true });
mkdirSync(folder, { recursive: true });
writeFileSync(join(folder, "joint.toml"), `[study]
title = "Wait and shrinkage of a joint"
base = "butt-joint"
invented = true
[[factor]]
name = "wait"
label = "wait before increment 1 [s]"
key = "plan.increment[1].wait"
values = [0, 60, 300]
[[factor]]
name = "shrinkage"
label = "volumetric shrinkage [-]"
key = "materials.override.conventional-paste.volumetric_shrinkage"
values = [0.02, 0.03]
[[factor]]
name = "fineness"
key = "mesh.fineness"
values = [1.0]
[outputs]
ratio = "bond[wall=lower].worst.stress_to_strength_p95"
chair_time_s = "chair_time_s"
`);
const setstress = (...words) => execFileSync(program, ["study", ...words], { cwd: folder, stdio: "inherit" });
setstress("joint.toml", "--quiet");
setstress("report", "joint.toml", "--quiet");

const { chromium: browserType } = createRequire(join(modules, "here.js"))("playwright-core");
const browser = await browserType.launch({ executablePath: chromium, args: ["--no-sandbox", "--headless"] });
try {
  const page = await (await browser.newContext()).newPage();
  const complaints = [];
  const requests = [];
  page.on("console", (message) => complaints.push(message.text()));
  page.on("pageerror", (error) => complaints.push(error.message));
  page.on("request", (request) => requests.push(request.url()));
  const url = pathToFileURL(join(folder, "joint-report", "report.html")).href;
  for (const colorScheme of ["light", "dark"])
    for (const width of [1280, 390]) {
      await page.emulateMedia({ colorScheme });
      await page.setViewportSize({ width, height: 900 });
      await page.goto(url);
      assert.equal(await page.evaluate("document.documentElement.scrollWidth"), width, "nothing sticks out sideways");
      // Letters of the plots stay readable: no smaller on the screen than 9 px.
      const letters = await page.evaluate(`Math.min(...[...document.querySelectorAll(".chart text")].map((text) =>
        parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a))`);
      assert.ok(letters >= 9, `letters of ${letters} px`);
      const [ink, paper] = await page.evaluate(`[getComputedStyle(document.querySelector(".chart .title")).fill,
        getComputedStyle(document.body).backgroundColor]`);
      const brightness = (colour) => colour.match(/\d+/g).slice(0, 3).reduce((sum, part) => sum + Number(part) / 765, 0);
      assert.ok(Math.abs(brightness(ink) - brightness(paper)) > 0.6, `${ink} on ${paper}`);
      await page.screenshot({ path: join(folder, `${colorScheme}-${width}.png`), fullPage: true });
    }
  assert.deepEqual(complaints, []);
  assert.deepEqual([...new Set(requests)], [url]);
  const figures = await page.locator("figure").count();
  assert.equal(figures, readdirSync(join(folder, "joint-report", "figures")).length, "every plot is also a file");
  const notes = await page.locator("figure").allInnerTexts();
  for (const note of notes) assert.match(note.replaceAll("\n", " "), /n = \d+ of\s+6 runs/);
  assert.match(await page.locator("footer").innerText(), /not a medical device/);
  // The command beside the first run opens it as a case.
  const command = await page.locator("p code", { hasText: "study case" }).first().innerText();
  const [, row] = /^setstress study case joint\.toml (\d+) > run-\1\.toml$/.exec(command);
  const text = execFileSync(program, ["study", "case", "joint.toml", row], { cwd: folder, encoding: "utf8" });
  writeFileSync(join(folder, "run.toml"), text);
  execFileSync(program, ["check", "run.toml", "--quiet"], { cwd: folder, stdio: "inherit" });
} finally {
  await browser.close();
}
