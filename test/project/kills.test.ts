/** A few kills of commands that other tests do not kill: `npm run kills` makes five hundred. */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";
import { built } from "../host/built.js";

it("kills of commands that write leave every file whole, and the command goes on", {
  timeout: 170_000,
}, () => {
  const program = fileURLToPath(built("tools/kills.js"));
  const only = ["new", "parts", "migrate", "reduce"].flatMap((name) => ["--only", name]);
  const { status, stdout } = spawnSync(process.execPath, [program, "--count", "8", ...only], {
    encoding: "utf8",
  });
  expect(stdout).toMatch(/\n\d+ kills, .* 0 complaints\n$/);
  expect(status).toBe(0);
});
