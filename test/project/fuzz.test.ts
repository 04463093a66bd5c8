/** Damaged files for every reader, a fixed number with a fixed seed: `npm run fuzz` goes on for longer. */
import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { expect, it } from "vitest";
import { built } from "../host/built.js";

it("damaged files of every kind are answered or refused", { timeout: 170_000 }, () => {
  const program = fileURLToPath(built("tools/fuzz.js"));
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, "--cases", "30", "--seed", "1"], {
    encoding: "utf8",
  });
  expect(stderr).toBe("");
  expect(stdout).toMatch(/\n\d+ cases, 0 findings\n$/);
  expect(status).toBe(0);
});
