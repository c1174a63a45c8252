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

/** What is waited for, which fails in words where it takes longer than `seconds`. */
export function within(seconds, what, waited) {
  let timer;
  const late = new Promise((_, failed) => { timer = setTimeout(() => failed(new Error(`${seconds} s are over: ${what}`)), 1000 * seconds); });
  return Promise.race([waited, late]).finally(() => clearTimeout(timer));
}

/** A desk and the address that it prints; hands on {address, desk}. */
export async function withDesk(words, test) {
  const desk = spawn(program, ["desk", "--quiet", ...words], { cwd: scratch, stdio: ["ignore", "pipe", "inherit"] });
  const ended = new Promise((done) => desk.on("exit", done));
  try {
    const address = await within(30, "the desk prints its address", new Promise((found, failed) => {
      let said = "";
      desk.stdout.on("data", (text) => { said += text; const match = /http:\S+/.exec(said); if (match) found(match[0]); });
      desk.on("exit", () => failed(new Error("the desk ended")));
    }));
    await test(new URL(address), desk);
  } catch (error) {
    console.error(error);  // what follows from it would hide it
    throw error;
  } finally {
    desk.kill("SIGINT");
    assert.equal(await within(20, "Ctrl-C ends the desk", ended), 0, "Ctrl-C ends the desk");
  }
}

const flags = ["--no-sandbox", "--headless", "--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"];
export const openBrowser = () => within(60, "Chromium starts", need("playwright-core").chromium.launch({ executablePath: chromium, args: flags }));
export const closeBrowser = (browser) => within(30, "Chromium ends", browser.close());

/** News of runs come late, as they may where the machine is busy: after the answers that they tell of. */
const lateNews = (late) => {
  globalThis.EventSource = class extends EventSource {
    set onmessage(told) { super.onmessage = (event) => setTimeout(() => told(event), late); }
  };
};

/** The page of a desk; nothing may be complained of in its console. `late`: of news [ms]; `longest`: of the whole test [s]. */
export async function withPage(browser, address, { late = 0, longest = 240, ...context }, test) {
  const opened = await within(30, "a window opens", browser.newContext({ viewport: { width: 1300, height: 900 }, ...context }));
  const page = await within(30, "a page opens", opened.newPage());
  page.setDefaultTimeout(60_000);
  const complaints = [];
  page.on("console", (message) => { if (["error", "warning"].includes(message.type()) && !/GPU|WebGL|GL Driver/.test(message.text())) complaints.push(message.text()); });
  page.on("pageerror", (error) => complaints.push(error.message));
  if (late) await page.addInitScript(lateNews, late);
  await page.goto(address.href);
  await isReady(page);
  await within(longest, "a session at the desk ends", test(page));
  assert.deepEqual(complaints, []);
  await within(30, "the window closes", opened.close());
}

export const isReady = (page) => within(60, "the desk stands on its page", page.waitForFunction(() => globalThis.deskTimes?.ready > 0));
export const picture = (page, name) => pictures && page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
/** Waits until the desk says so; where it does not, tells what it says instead. */
export async function said(page, words, seconds = 120) {
  try {
    await page.waitForFunction((text) => document.getElementById("said")?.textContent.includes(text), words, { timeout: 1000 * seconds });
  } catch {
    const told = () => `${document.getElementById("said")?.textContent} | ${document.getElementById("jobs")?.innerText}`;
    const now = await within(10, "the page tells what it says", page.evaluate(told));
    assert.fail(`${seconds} s are over: the desk says "${words}"; it says "${now}"`);
  }
}

/** Types into the control of a key and leaves it. */
export async function type(page, key, text) {
  const box = page.locator(`[data-key="${key}"]`);
  await box.fill(text);
  await box.blur();
}

export async function isAccessible(page) {
  await within(30, "axe is there", page.evaluate(readFileSync(need.resolve("axe-core/axe.min.js"), "utf8")));
  const { violations } = await within(60, "axe has looked at the page", page.evaluate(() => globalThis.axe.run("#desk", { iframes: false })));
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
