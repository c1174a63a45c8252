// Runs two plans coarsely and writes the pages that the tests open: node make_results.mjs SETSTRESS FOLDER

import { execFileSync } from "node:child_process";
import { mkdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { plans } from "./pages.mjs";

const [program, folder] = process.argv.slice(2);
mkdirSync(folder, { recursive: true });
const setstress = (...words) => execFileSync(program, words, { cwd: folder, stdio: "inherit" });

for (const plan of plans) setstress("run", plan, "--fineness", "coarse", "--quiet", "--out", plan);
setstress("page", plans[0], "--out", "one.html");
setstress("page", ...plans, "--out", "two.html");
for (const page of ["one.html", "two.html"])
  console.log(`${page}: ${(statSync(join(folder, page)).size / 1e6).toFixed(2)} MB`);
