// What cannot become a page is refused in one sentence, with exit code 2, and leaves no page behind:
// node refuses.mjs SETSTRESS FOLDER

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { compared, plans } from "./pages.mjs";

const [program, folder] = process.argv.slice(2);
const scratch = mkdtempSync(join(tmpdir(), "setstress-"));
const whole = join(folder, compared, plans[0]);

/** A copy of a whole result without one of its files. */
function without(file) {
  const copy = join(scratch, file.replace("/", "-"));
  cpSync(whole, copy, { recursive: true });
  rmSync(join(copy, file));
  return copy;
}

function refused(says, ...words) {
  const { status, stderr, stdout } = spawnSync(program, ["page", ...words], { cwd: scratch, encoding: "utf8" });
  assert.equal(status, 2, stderr);
  assert.match(stderr, says);
  assert.equal(stderr.trimEnd().split("\n").length, 1, `one line: ${stderr}`);
  assert.equal(stdout, "");
  assert.ok(!existsSync(join(scratch, "page.html")));
}

try {
  refused(/nowhere: there is no such folder/, "nowhere");
  refused(/compared holds a comparison/, join(folder, compared));
  refused(/it has no summary\.json; run the case again/, without("summary.json"));
  refused(/bond_0003\.vtp: there is no such file/, without("frames/bond_0003.vtp"));
  refused(/volume_0002\.vtu: there is no such file/, whole, without("frames/volume_0002.vtu"));
  refused(/a page must end in \.html/, whole, "--out", "page.pdf");
} finally {
  rmSync(scratch, { recursive: true });
}
