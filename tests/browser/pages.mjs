// A real browser with one of the pages open, and what tests ask of it.

import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

export const plans = ["deep-box-bulk", "deep-box-floor-layer"];
export const compared = "compared";
export const pages = { one: "one.html", two: join(compared, "page.html") };

const flags = ["--no-sandbox", "--headless", "--use-angle=swiftshader", "--enable-unsafe-swiftshader",
  "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"];

/** Folder of the results, from the command line: node TEST FOLDER NODE_MODULES CHROMIUM */
export const [folder, modules, chromium] = process.argv.slice(2).map((path) => resolve(path));

/**
 * Opens a page of the folder and hands it to `test`, with what it complained of, what it asked of the network and
 * the milliseconds until its first view was drawn.
 */
export async function withPage(name, test, context = {}, moreFlags = []) {
  const { chromium: browserType } = createRequire(join(modules, "here.js"))("playwright-core");
  const browser = await browserType.launch({ executablePath: chromium, args: [...flags, ...moreFlags] });
  try {
    const page = await (await browser.newContext({ viewport: { width: 1280, height: 900 }, ...context })).newPage();
    const complaints = [];
    const requests = [];
    page.on("console", (message) => { if (["error", "warning"].includes(message.type())) complaints.push(message.text()); });
    page.on("pageerror", (error) => complaints.push(error.message));
    page.on("request", (request) => requests.push(request.url()));
    const url = pathToFileURL(join(folder, name)).href;
    await page.goto(url);
    await page.waitForFunction(() => globalThis.setstressPage?.firstView > 0);
    const milliseconds = await page.evaluate("setstressPage.firstView");
    await test(page, { complaints, requests, milliseconds, url });
  } finally {
    await browser.close();
  }
}

/** Shares of the pixels of a 3D view that are clearly blue, clearly orange to brown, and the paper behind. */
export function pixelShares(page, panel) {
  return page.evaluate((which) => {
    const { view } = setstressPage.panels[which];
    view.drawNow();
    const canvas = view.container.querySelector("canvas");
    const copy = new OffscreenCanvas(canvas.width, canvas.height).getContext("2d");
    copy.drawImage(canvas, 0, 0);
    const { data } = copy.getImageData(0, 0, canvas.width, canvas.height);
    const count = { blue: 0, orange: 0, paper: 0 };
    for (let i = 0; i < data.length; i += 4) {
      const [red, green, blue] = data.subarray(i, i + 3);
      if (blue - red > 25) ++count.blue;
      else if (red - blue > 60 && red - green > 25) ++count.orange;
      else if (Math.abs(red - data[0]) + Math.abs(green - data[1]) + Math.abs(blue - data[2]) < 6) ++count.paper;
    }
    return Object.fromEntries(Object.entries(count).map(([name, pixels]) => [name, (4 * pixels) / data.length]));
  }, panel);
}

/** The rows of a plan's walls.csv, read independently of the page. */
export function wallsCsv(plan) {
  const [heading, ...lines] = readFileSync(join(folder, compared, plan, "walls.csv"), "utf8").trimEnd().split("\n");
  const names = heading.split(",");
  return lines.map((line) => {
    const cells = line.replace(/"[^"]*"/, (event) => event.replaceAll(",", ";")).split(",");
    return Object.fromEntries(names.map((name, i) => [name, cells[i]]));
  });
}
