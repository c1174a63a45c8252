// Bundles a page into one HTML file: node bundle.mjs NODE_MODULES FILE FOLDER NAME, of FOLDER/main.js, NAME.css, NAME.html
// The texts of the licences of everything bundled go into the file.

import { existsSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const [modules, template] = process.argv.slice(2, 4).map((path) => resolve(path));
const [folder, name] = process.argv.slice(4);
const sources = join(dirname(fileURLToPath(import.meta.url)), folder);
const { build } = createRequire(join(modules, "here.js"))("esbuild");

const bundled = await build({
  entryPoints: [join(sources, "main.js"), join(sources, `${name}.css`)],
  outdir: "out",
  bundle: true,
  minify: true,
  write: false,
  metafile: true,
  target: "es2022",
  format: "iife",
  legalComments: "none",
  nodePaths: [modules],
  absWorkingDir: dirname(sources),
  define: { "process.env.NODE_ENV": '"production"' },
});

/** Folder of the package that a bundled file belongs to, or null for our own. */
function packageOf(file) {
  const found = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(resolve(dirname(sources), file));
  return found ? found[1] : null;
}

function licenceOf(folder) {
  const { name, version, license } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  const files = readdirSync(folder).filter((file) => /^(licen[cs]e|copying|copyright)/i.test(file));
  const texts = files.map((file) => readFileSync(join(folder, file), "utf8").trim());
  return `${name} ${version} (${license})\n\n${texts.join("\n\n")}`;
}

const used = Object.values(bundled.metafile.outputs).flatMap((output) =>
  Object.entries(output.inputs).filter(([, { bytesInOutput }]) => bytesInOutput > 0).map(([file]) => packageOf(file)),
);
const packages = [...new Set(used)].filter((folder) => folder && existsSync(join(folder, "package.json"))).sort();
const licences = packages.map(licenceOf).join("\n\n----\n\n").replaceAll("--", "- -");

const output = (ending) => bundled.outputFiles.find(({ path }) => path.endsWith(ending)).text;
const html = readFileSync(join(sources, `${name}.html`), "utf8")
  .replace("/* styles */", () => output(".css"))
  .replace("/* program */", () => output(".js").replaceAll("</script", "<\\/script"))
  .replace("<!-- licences -->", () => `<!--\nThis page contains:\n\n${licences}\n-->`);
writeFileSync(template, html);
