// Compares two plans coarsely, which brings their page along, and writes the page of one: node make_results.mjs SETSTRESS FOLDER

import { execFileSync } from "node:child_process";
import { mkdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { compared, pages, plans } from "./pages.mjs";

const [program, folder] = process.argv.slice(2);
mkdirSync(folder, { recursive: true });
const setstress = (...words) => execFileSync(program, words, { cwd: folder, stdio: "inherit" });

setstress("compare", ...plans, "--fineness", "coarse", "--quiet", "--out", compared);
setstress("page", join(compared, plans[0]), "--out", pages.one);
for (const page of Object.values(pages))
  console.log(`${page}: ${(statSync(join(folder, page)).size / 1e6).toFixed(2)} MB`);
