// A desk with a browser at it, and what tests of it share: node TEST SETSTRESS NODE_MODULES CHROMIUM

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

export const [program, modules, chromium] = process.argv.slice(2).map((path) => resolve(path));
const pictures = process.env.SETSTRESS_DESK_PICTURES;  // a folder to put screenshots into
export const scratch = mkdtempSync(join(tmpdir(), "setstress-desk-"));
process.on("exit", () => rmSync(scratch, { recursive: true, force: true }));
const need = createRequire(join(modules, "here.js"));

/** A desk and the address that it prints; hands on {address, desk}. */
export async function withDesk(words, test) {
  const desk = spawn(program, ["desk", "--quiet", ...words], { cwd: scratch, stdio: ["ignore", "pipe", "inherit"] });
  const ended = new Promise((done) => desk.on("exit", done));
  try {
    const address = await new Promise((found, failed) => {
      let said = "";
      desk.stdout.on("data", (text) => { said += text; const match = /http:\S+/.exec(said); if (match) found(match[0]); });
      desk.on("exit", () => failed(new Error("the desk ended")));
    });
    await test(new URL(address), desk);
  } finally {
    desk.kill("SIGINT");
    assert.equal(await ended, 0, "Ctrl-C ends the desk");
  }
}

const flags = ["--no-sandbox", "--headless", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"];
export const openBrowser = () => need("playwright-core").chromium.launch({ executablePath: chromium, args: flags });

/** The page of a desk; nothing may be complained of in its console. */
export async function withPage(browser, address, context, test) {
  const opened = await browser.newContext({ viewport: { width: 1300, height: 900 }, ...context });
  const page = await opened.newPage();
  page.setDefaultTimeout(120_000);
  const complaints = [];
  page.on("console", (message) => { if (["error", "warning"].includes(message.type()) && !/GPU|WebGL|GL Driver/.test(message.text())) complaints.push(message.text()); });
  page.on("pageerror", (error) => complaints.push(error.message));
  await page.goto(address.href);
  await isReady(page);
  await test(page);
  assert.deepEqual(complaints, []);
  await opened.close();
}

export const isReady = (page) => page.waitForFunction(() => globalThis.deskTimes?.ready > 0);
export const picture = (page, name) => pictures && page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
export const said = (page, words) => page.waitForFunction((text) => document.getElementById("said")?.textContent.includes(text), words, { timeout: 300_000 });

/** Types into the control of a key and leaves it. */
export async function type(page, key, text) {
  const box = page.locator(`[data-key="${key}"]`);
  await box.fill(text);
  await box.blur();
}

export async function isAccessible(page) {
  await page.evaluate(readFileSync(need.resolve("axe-core/axe.min.js"), "utf8"));
  const { violations } = await page.evaluate(() => globalThis.axe.run("#desk", { iframes: false }));
  assert.deepEqual(violations.filter(({ impact }) => ["serious", "critical"].includes(impact)).map(({ id, nodes }) => `${id}: ${nodes[0].html}`), []);
}

/** Processes that a desk has started to run a command of this program. */
export function childrenOf({ pid }, command) {
  return readdirSync("/proc").filter((name) => /^\d+$/.test(name)).filter((name) => {
    try {
      const parent = / \((?:.|\n)*\) \S (\d+) /.exec(readFileSync(`/proc/${name}/stat`, "utf8"))[1];
      return Number(parent) === pid && readFileSync(`/proc/${name}/cmdline`, "utf8").split("\0")[1] === command;
    } catch {
      return false;  // it has ended meanwhile
    }
  }).map(Number);
}

/** Seconds of a processor that a process has used. */
export function secondsUsed(pid) {
  const fields = readFileSync(`/proc/${pid}/stat`, "utf8").replace(/^.*\) /s, "").split(" ");
  return (Number(fields[11]) + Number(fields[12])) / 100;
}
