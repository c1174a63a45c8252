// The desk from end to end: who is turned away, then a whole session by mouse, and one by keyboard alone. In turn: set the hole,
// plans, undo, run coarse, compare, why, save, reload, open again; own materials; runs killed, stopped and found again; results as
// those of `run`; 390 px wide; dark; reading mode. Minutes long: node desk.mjs SETSTRESS NODE_MODULES CHROMIUM

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { request } from "node:http";
import { join } from "node:path";
import { isDeepStrictEqual } from "node:util";
import { childrenOf, closeBrowser, isAccessible, isReady, openBrowser, picture, program, said, scratch, secondsUsed, type, withDesk, withPage } from "./desk_session.mjs";

const folder = join(scratch, "desk");
const mine = `[composite.my-paste]
about = "Measured by me."
volumetric_shrinkage = {value = 0.025, unit = "-", basis = "assumption", source = "measured by me"}
tensile_strength = {value = 45.0, unit = "MPa", basis = "assumption", source = "measured by me"}
increment_depth = {value = 2.0, unit = "mm", basis = "assumption", source = "measured by me"}

[composite.my-paste.light]
reflection = {value = 0.1, unit = "-", basis = "assumption", source = "measured by me"}
attenuation = {value = 1.02, unit = "1/mm", basis = "assumption", source = "measured by me"}

[composite.my-paste.cure]
rate = {value = 0.4, unit = "1/s", basis = "assumption", source = "measured by me"}
reference_irradiance = {value = 1000.0, unit = "mW/cm2", basis = "assumption", source = "measured by me"}
irradiance_exponent = {value = 0.5, unit = "-", basis = "assumption", source = "measured by me"}
order_growth = {value = 0.4, unit = "-", basis = "assumption", source = "measured by me"}
order_depletion = {value = 1.6, unit = "-", basis = "assumption", source = "measured by me"}
seed = {value = 0.001, unit = "-", basis = "assumption", source = "measured by me"}
dark_time = {value = 20.0, unit = "s", basis = "assumption", source = "measured by me"}
limiting_conversion = {value = 0.65, unit = "-", basis = "assumption", source = "measured by me"}

[composite.my-paste.stiffness]
youngs_modulus = {value = 12000.0, unit = "MPa", basis = "assumption", source = "measured by me"}
poisson_ratio = {value = 0.3, unit = "-", basis = "assumption", source = "measured by me"}
gel_point = {value = 0.15, unit = "-", basis = "assumption", source = "measured by me"}
exponent = {value = 2.0, unit = "-", basis = "assumption", source = "measured by me"}
`;

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

/** One run of a plan at a time, a few that wait, and then no more. */
async function isBounded(address) {
  const post = async (route, body) => JSON.parse((await knock({ host: address.host, port: address.port, path: `${address.pathname}api/${route}` }, { method: "POST", headers: { Origin: address.origin }, body: JSON.stringify(body) })).text);
  const { name, text } = await post("open", { name: "deep-box-layers", ready: true });
  const run = (title) => post("run", { mode: "debonding", fineness: "standard", plans: [{ letter: "A", name, text: text.replace(/^title = .*$/m, `title = "${title}"`) }] });
  const answers = [];
  for (let i = 0; i < 12; ++i) answers.push(await run(`number ${i}`));
  assert.ok(answers[0].ok && answers[1].ok);
  assert.match(answers.at(-1).message, /commands wait already/);
  const hello = JSON.parse((await knock({ host: address.host, port: address.port, path: `${address.pathname}api/hello` })).text);
  assert.deepEqual([...new Set(hello.work.jobs.map(({ state }) => state))], ["running", "waiting"]);
  assert.equal(hello.work.jobs.filter(({ state }) => state === "running").length, 1, "one run of a plan at a time");
  for (const { id } of hello.work.jobs.toReversed()) await post("stop", { id });
  await post("stop", { id: hello.work.jobs[0].id });  // at once
}

async function byMouse(page) {
  await picture(page, "opened");
  await page.locator("#live-B table").waitFor();
  await isAccessible(page);
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
  await said(page, "Why they differ: the answer stands below.");
  await page.locator("#why-answer").getByRole("link", { name: "why.svg" }).waitFor();
  await picture(page, "why");
  await page.locator('[data-key="A save"]').click();
  await said(page, "Saved as deep-box-layers.toml");
  assert.match(readFileSync(join(folder, "deep-box-layers.toml"), "utf8"), /depth = 4\.4/);
  await page.reload();
  await page.waitForFunction(() => globalThis.deskTimes?.ready > 0);
  assert.equal(await page.locator('[data-key="preparation.depth"]').inputValue(), "4.4", "the last state is back");
  await page.getByLabel("Start plan B from").selectOption("fdeep-box-layers.toml");
  await said(page, "deep-box-layers.toml is plan B now");
}

async function byKeyboard(page) {
  const reach = async (is) => {
    for (let press = 0; press < 300; ++press) {
      await page.keyboard.press("Tab");
      if (await page.evaluate(is)) return;
    }
    assert.fail(`Tab never reaches ${is}`);
  };
  await reach(() => document.activeElement.dataset.key === "preparation.taper");
  await page.keyboard.press("Control+a");
  await page.keyboard.type("5");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.querySelector('[data-key="preparation.taper slider"]').value === "5");
  await reach(() => document.activeElement.dataset.key === "the hole in space");
  const lookedFrom = await page.locator(".side-name").first().getAttribute("style");
  await page.keyboard.press("ArrowLeft");
  await page.waitForFunction((before) => document.querySelector(".side-name").getAttribute("style") !== before, lookedFrom);
  await reach(() => document.activeElement.id === "mode");  // the session before left the bond to let go
  await page.keyboard.press("Home");
  await page.waitForFunction(() => document.querySelector("#mode").value === "intact");
  await reach(() => document.activeElement.id === "run" && !document.activeElement.disabled);
  await page.keyboard.press("Enter");
  await said(page, "Compared.");
  await reach(() => document.activeElement.dataset.key === "A save");
  await page.keyboard.press("Enter");
  await said(page, "Saved as");
  await reach(() => document.activeElement.dataset.key === "why");
  await page.keyboard.press("Enter");
  await said(page, "Why they differ: the answer stands below.");
  const nameless = await page.locator("input, select, button").evaluateAll((all) => all.filter((each) => !(each.labels?.length || each.getAttribute("aria-label") || each.textContent.trim())).map((each) => each.outerHTML));
  assert.deepEqual(nameless, [], "every control has a name for screen readers");
}


/** Values of one's own, with the library's one click away; a material file; a third plan. */
async function ownMaterials(page) {
  await page.locator('[data-key="sources"]').click();
  await page.locator("details", { hasText: "bulk-fill-paste" }).first().locator("summary").click();
  const path = "materials.override.bulk-fill-paste.volumetric_shrinkage";
  await type(page, path, "0.9");
  await page.locator(".fault").first().waitFor();
  await page.locator("#undo").click();
  await type(page, path, "0.03");
  await page.getByText("of your own values").waitFor();
  await picture(page, "own-values");
  await page.getByRole("button", { name: /Take the library's volumetric shrinkage/ }).click();
  await page.getByText("of your own values").waitFor({ state: "hidden" });
  writeFileSync(join(scratch, "mine.toml"), mine);
  await page.locator('input[type="file"]').setInputFiles(join(scratch, "mine.toml"));
  await page.locator('[data-key="A plan.increment[1].material"]').selectOption("my-paste");
  await page.getByText("Measured by me.").first().waitFor();
  await page.getByRole("button", { name: "Copy as another plan" }).first().click();
  await said(page, "Plan C is a copy of plan A now.");
  await page.getByRole("button", { name: "Run all three and compare" }).waitFor();
  await page.locator("#live-C table").waitFor();
  await picture(page, "three-plans");
  await page.getByRole("article", { name: "Plan C" }).getByRole("button", { name: "Take this plan away" }).click();
  await said(page, "Plan C is taken away");
}

async function drag(page, thing, across, down) {
  await thing.scrollIntoViewIfNeeded();
  const box = await thing.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + across, y + down, { steps: 4 });
  await page.mouse.up();
}

/** Waits and lamp by dragging; a light of its own. */
async function dragged(page) {
  const wait = page.locator('[data-key="A plan.wait"]');
  await drag(page, page.getByRole("article", { name: "Plan A" }).locator(".timeline .grip").first(), 150, 0);
  await page.waitForFunction(() => Number(document.querySelector('[data-key="A plan.wait"]').value) > 20);
  assert.equal(Number(await wait.inputValue()) % 5, 0);
  await page.locator('[data-key="A plan.light[1].distance_curve 1"]').selectOption("middle-collimation");
  await page.locator('[data-key="A plan.light[1].tip_gap 1"]').waitFor();
  await drag(page, page.getByRole("article", { name: "Plan A" }).locator(".lamp"), 0, -60);
  await page.waitForFunction(() => Number(document.querySelector('[data-key="A plan.light[1].tip_gap 1"]').value) > 2);
  for (let times = 0; times < 3; ++times) await page.locator("#undo").click();
  await page.waitForFunction(() => document.querySelector('[data-key="A plan.wait"]').value === "0");
}

/** A second light of an increment, typed and dragged. */
async function litTwice(page) {
  const plan = page.getByRole("article", { name: "Plan A" });
  const lights = plan.locator(".timeline .light");
  const before = await lights.count();
  await page.locator('[data-key="A plan.light more 1"]').click();
  await page.locator('[data-key="A plan.light[2].duration 1"]').waitFor();
  assert.equal(await lights.count(), 2 * before, "every increment is lit twice");
  await type(page, "A plan.light[2].duration 1", "10");
  await type(page, "A plan.light[2].delay 1", "3");
  await page.waitForFunction(() => {  // drawn as typed: 3 s later, 10 s long
    const [first, second] = [...document.querySelectorAll(".timeline .light-grip")].map((grip) => Number(grip.dataset.x));
    const begun = Number(document.querySelector(".timeline .light").getAttribute("x"));
    return Math.abs((second - first) / (first - begun) - 13 / 40) < 0.001;
  });
  await drag(page, plan.locator(".timeline .light-grip").nth(1), 30, 0);
  await page.waitForFunction(() => Number(document.querySelector('[data-key="A plan.light[2].duration 1"]').value) > 10);
  assert.equal(await page.locator('[data-key="A plan.light[1].duration 1"]').inputValue(), "40", "the first light is as it was");
  await picture(page, "lit-twice");
  await page.locator('[data-key="A plan.light fewer 1"]').click();
  await page.locator('[data-key="A plan.light[2].duration 1"]').waitFor({ state: "detached" });
}

/** Bytes of a result, without what tells of the machine, the clock and where it lies. */
function resultOf(at) {
  const files = readdirSync(at, { recursive: true }).filter((name) => statSync(join(at, name)).isFile()).sort();
  return Object.fromEntries(files.filter((name) => name !== "manifest.json").map((name) => [name, createHash("sha256").update(readFileSync(join(at, name))).digest("hex")]));
}

async function sameAsRun(page) {
  await page.locator('[data-key="B save"]').click();
  await said(page, "Saved as");
  const name = await page.locator('[data-key="B name"]').inputValue();
  const own = join(scratch, "by-hand");
  execFileSync(program, ["run", join(folder, name), "--mode", "intact", "--fineness", "coarse", "--out", own, "--quiet"], { cwd: scratch, stdio: "inherit", timeout: 120_000 });
  const stem = name.replace(/\.toml$/, "");
  const runs = join(folder, "runs");
  const results = readdirSync(runs).map((key) => join(runs, key, stem)).filter((at) => existsSync(join(at, "summary.json")));
  assert.ok(results.some((at) => isDeepStrictEqual(resultOf(at), resultOf(own))), `a result of the desk is, byte by byte, that of run: ${JSON.stringify([resultOf(results[0]), resultOf(own)])}`);
}

/** A run that is killed is told and the desk lives; one that is stopped too; one that goes on is found again. */
async function endsOfRuns(page, desk) {
  await page.getByLabel("Start plan B from").selectOption("rdeep-box-layers-after-5-min");
  await said(page, "is plan B now");
  await page.locator("#mode").selectOption("debonding");
  await page.locator("#fineness").selectOption("standard");
  await page.locator("#run").click();
  const running = () => page.waitForFunction(() => document.querySelectorAll("#jobs progress").length > 0);
  await running();
  let victims = [];
  for (let looks = 0; victims.length === 0; ++looks) {
    assert.ok(looks < 600, "30 s are over: a run is a process of the desk");
    await new Promise((done) => setTimeout(done, 50));
    victims = childrenOf(desk, "run");
  }
  process.kill(victims[0], "SIGKILL");
  await page.reload();
  await isReady(page);
  await running();
  await picture(page, "found-again");
  for (let left = await page.locator("#jobs button").count(); left > 0; left = await page.locator("#jobs button").count()) {
    await page.locator("#jobs button").first().click({ timeout: 5000 }).catch(() => {});
    await page.waitForTimeout(300);
  }
  await page.waitForFunction(() => /crashed \(signal 9\)/.test(document.getElementById("jobs").textContent + document.getElementById("said").textContent));
  await picture(page, "killed-and-stopped");
  assert.match(await page.locator("#jobs").innerText(), /stopped as asked/);
  await page.locator("#fineness").selectOption("coarse");
  await page.locator("#run").click();
  await said(page, "Compared.");
  await picture(page, "debonding");
}

async function idlesQuietly(page, desk) {
  await page.waitForTimeout(4000);
  const before = secondsUsed(desk.pid);
  await page.waitForTimeout(5000);
  assert.ok(secondsUsed(desk.pid) - before < 0.1, "a desk that nobody uses takes no processor");
}

const browser = await openBrowser();
await withDesk(["--folder", folder], async (address, desk) => {
  await isSafe(address);
  await isBounded(address);
  await withPage(browser, address, { longest: 700 }, async (page) => {
    await byMouse(page);
    await sameAsRun(page);
    await dragged(page);
    await litTwice(page);
    await ownMaterials(page);
    await endsOfRuns(page, desk);
  });
  await withPage(browser, address, { viewport: { width: 390, height: 800 }, colorScheme: "dark" }, async (page) => {
    await page.locator("#live-B table").waitFor();
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 390, "nothing sticks out sideways");
    await isAccessible(page);
    await picture(page, "phone-dark");
    await idlesQuietly(page, desk);
  });
  await withPage(browser, address, { longest: 300 }, byKeyboard);
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
await closeBrowser(browser);
