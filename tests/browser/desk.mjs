// The desk from end to end: who is turned away, then a whole session by mouse, and one by keyboard alone. In turn: set the hole,
// plans, undo, run coarse, compare, why, save, reload, open again; 390 px wide; dark; reading mode: node desk.mjs SETSTRESS NODE_MODULES CHROMIUM

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { request } from "node:http";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const [program, modules, chromium] = process.argv.slice(2).map((path) => resolve(path));
const pictures = process.env.SETSTRESS_DESK_PICTURES;  // a folder to put screenshots into
const scratch = mkdtempSync(join(tmpdir(), "setstress-desk-"));
const folder = join(scratch, "desk");
const need = createRequire(join(modules, "here.js"));

/** A desk and the address that it prints. */
async function withDesk(words, test) {
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

/** Status and text of a request with headers that a browser would not let a page choose. */
const knock = (url, { method = "GET", headers = {}, body } = {}) => new Promise((done, failed) => {
  const asked = request({ host: "127.0.0.1", port: url.port, path: url.path ?? url.pathname, method, headers: { Host: url.host, ...headers } }, (answer) => {
    let text = "";
    answer.on("data", (piece) => { text += piece; });
    answer.on("end", () => done({ status: answer.statusCode, text }));
  });
  asked.on("error", failed);
  asked.end(body);
});

async function isSafe(address) {
  const at = (path) => ({ host: address.host, port: address.port, path: address.pathname + path });
  assert.equal((await knock(at("api/hello"))).status, 200);
  assert.equal((await knock({ ...at(""), path: "/api/hello" })).status, 403, "no token");
  assert.equal((await knock(at("api/hello"), { headers: { Origin: "http://elsewhere.example" } })).status, 403);
  assert.equal((await knock(at("api/hello"), { headers: { Host: `rebound.example:${address.port}` } })).status, 421);
  const post = (route, body) => knock(at(`api/${route}`), { method: "POST", headers: { Origin: address.origin }, body: JSON.stringify(body) });
  writeFileSync(join(scratch, "outside.toml"), "secret = 1\n");
  for (const path of ["files/../outside.toml", "files/%2e%2e/outside.toml", "files/..%2foutside.toml", "files//etc/passwd"])
    assert.equal((await knock(at(path))).status, 404, path);
  for (const name of ["../outside.toml", join(scratch, "outside.toml")]) {
    assert.equal(JSON.parse((await post("open", { name })).text).ok, false);
    assert.equal(JSON.parse((await post("save", { name, text: "x = 1" })).text).ok, false);
  }
  assert.equal(readFileSync(join(scratch, "outside.toml"), "utf8"), "secret = 1\n");
  const large = await post("save", { name: "x.toml", text: "x".repeat(3e6) }).catch(({ code }) => ({ status: code }));
  assert.ok([413, "ECONNRESET", "EPIPE"].includes(large.status), `too large: ${large.status}`);
  assert.ok(!existsSync(join(folder, "x.toml")));
  assert.equal((await knock(at("api/save"), { method: "POST", body: "{" })).status, 400);
}

const flags = ["--no-sandbox", "--headless", "--disable-gpu", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"];

async function withPage(browser, address, context, test) {
  const opened = await browser.newContext({ viewport: { width: 1300, height: 900 }, ...context });
  const page = await opened.newPage();
  const complaints = [];
  page.on("console", (message) => { if (["error", "warning"].includes(message.type()) && !/GPU|WebGL|GL Driver/.test(message.text())) complaints.push(message.text()); });
  page.on("pageerror", (error) => complaints.push(error.message));
  await page.goto(address.href);
  await page.waitForFunction(() => globalThis.deskReady > 0);
  await test(page);
  assert.deepEqual(complaints, []);
  await opened.close();
}

const picture = (page, name) => pictures && page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
const said = (page, words) => page.waitForFunction((text) => document.getElementById("said")?.textContent.includes(text), words, { timeout: 120_000 });

async function serious(page) {
  await page.evaluate(readFileSync(need.resolve("axe-core/axe.min.js"), "utf8"));
  const { violations } = await page.evaluate(() => globalThis.axe.run("#desk", { iframes: false }));
  assert.deepEqual(violations.filter(({ impact }) => ["serious", "critical"].includes(impact)).map(({ id, nodes }) => `${id}: ${nodes[0].html}`), []);
}

async function byMouse(page) {
  await picture(page, "opened");
  await page.locator("#live-B table").waitFor();
  await serious(page);
  const depth = page.locator('[data-key="preparation.depth"]');
  await depth.fill("99");
  await depth.blur();
  await page.getByText("must be between 0.5 and 12").first().waitFor();
  await page.locator('[data-key="preparation.depth"][aria-invalid="true"]').waitFor();
  assert.equal(await depth.inputValue(), "99", "told where it was typed");
  assert.ok(await page.locator("#run").isDisabled(), "what is refused is not run");
  await picture(page, "refused");
  await depth.fill("4.4");
  await depth.blur();
  await page.getByText("The floor lies 0.2 mm below the junction").waitFor();
  await page.locator("#undo").click();
  await page.getByText("must be between 0.5 and 12").first().waitFor();
  await page.locator("#undo").click();
  await page.waitForFunction(() => document.querySelector('[data-key="preparation.depth"]').value === "5.4");
  await page.locator('[data-key="preparation.depth"]').fill("4.4");
  await page.locator('[data-key="preparation.depth"]').blur();
  await page.getByText("The floor lies 0.2 mm below the junction").waitFor();
  await page.getByLabel("Start plan B from").selectOption("rdeep-box-bulk");
  await said(page, "deep-box-bulk is plan B now");
  await page.locator("#undo").click();
  await page.getByRole("heading", { name: /2 mm layers after 5 min/ }).waitFor();
  await page.locator("#run").click();
  await said(page, "Compared.");
  const frame = page.frameLocator("iframe");
  await frame.locator(".sentence").first().waitFor({ state: "attached", timeout: 60_000 });
  await picture(page, "compared");
  await page.locator("#why").click();
  await said(page, "Done. The answer stands below.");
  await page.getByRole("link", { name: "why.svg" }).waitFor();
  await picture(page, "why");
  await page.getByRole("button", { name: "Save as file" }).first().click();
  await said(page, "Saved as deep-box-layers.toml");
  assert.match(readFileSync(join(folder, "deep-box-layers.toml"), "utf8"), /depth = 4\.4/);
  await page.reload();
  await page.waitForFunction(() => globalThis.deskReady > 0);
  assert.equal(await page.locator('[data-key="preparation.depth"]').inputValue(), "4.4", "the last state is back");
  await page.getByLabel("Start plan B from").selectOption("fdeep-box-layers.toml");
  await said(page, "deep-box-layers.toml is plan B now");
}

async function byKeyboard(page) {
  const reach = async (is) => {
    for (let press = 0; press < 200; ++press) {
      await page.keyboard.press("Tab");
      if (await page.evaluate(is)) return;
    }
    assert.fail(`Tab never reaches ${is}`);
  };
  await reach(() => document.activeElement.dataset.key === "preparation.taper");
  await page.keyboard.press("Control+a");
  await page.keyboard.type("5");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => /taper = 5/.test(document.querySelector('[data-key="preparation.taper"]') ? "taper = 5" : ""));
  await reach(() => document.activeElement.id === "run" && !document.activeElement.disabled);
  await page.keyboard.press("Enter");
  await said(page, "Compared.");
  const names = await page.locator("input, select, button").evaluateAll((all) => all.filter((each) => !(each.labels?.length || each.getAttribute("aria-label") || each.innerText.trim())).length);
  assert.equal(names, 0, "every control has a name for screen readers");
}

try {
  const browser = await need("playwright-core").chromium.launch({ executablePath: chromium, args: flags });
  await withDesk(["--folder", folder], async (address) => {
    await isSafe(address);
    await withPage(browser, address, {}, byMouse);
    await withPage(browser, address, { viewport: { width: 390, height: 800 }, colorScheme: "dark" }, async (page) => {
      await page.locator("#live-B table").waitFor();
      assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 390, "nothing sticks out sideways");
      await serious(page);
      await picture(page, "phone-dark");
    });
    await withPage(browser, address, {}, byKeyboard);
  });
  await withDesk(["--show", folder], async (address) => {
    const page = await (await browser.newContext()).newPage();
    await page.goto(address.href);
    await page.getByText(/compared \(\d+ of \d+\)|\(1 of/).first().waitFor();
    const before = await page.locator("h1").innerText();
    await page.keyboard.press("ArrowRight");
    assert.notEqual(await page.locator("h1").innerText(), before, "the arrow key turns the page");
    await page.frameLocator("iframe").locator(".sentence").first().waitFor({ state: "attached", timeout: 60_000 });
    await picture(page, "shown");
    const body = JSON.stringify({ name: "x.toml", text: "x = 1" });
    assert.equal((await knock({ host: address.host, port: address.port, path: `${address.pathname}api/save` }, { method: "POST", body })).status, 404, "reading mode writes nothing");
    assert.ok(!existsSync(join(folder, "x.toml")));
  });
  await browser.close();
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
