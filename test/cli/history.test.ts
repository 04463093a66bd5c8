import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { inFolder } from "../host/folder.js";
import { at, coldturn, dossierIn, dryLog, recordOf, widest } from "./program.js";

describe("coldturn history", () => {
  it("says that there is none yet, and writes no picture", async () => {
    await inFolder(async (folder) => {
      const svg = join(folder, "h.svg");
      const { status, stdout } = await coldturn(["history", dossierIn(folder), "--svg", svg]);
      expect(status).toBe(0);
      expect(stdout).toContain("there is no history yet");
      expect(existsSync(svg)).toBe(false);
    });
  });

  it("tells prediction, run and update in order, as text, as JSON and as a picture", async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      const path = join(folder, "bench.csv");
      writeFileSync(path, dryLog({ slower: 1.2 }));
      await coldturn(["seal", place, "--case", "dry-ambient", "--samples", "200"]);
      // After the seal, whose date is the real one.
      const date = "2099-04-18T10:00:00Z";
      await coldturn(["import", place, path, "--case", "dry-ambient", "--date", date, "--run", "first"]);
      const valve = join(place, "valve.yaml");
      const text = readFileSync(valve, "utf8");
      const fitted = `friction: { value: 0.112 +/- 0.01, origin: fitted, because: "fitted to run first, was 0.075 +/- 0.028" }`;
      const edited = text.replace(/^( {4})friction: \{ value: 0\.075.*$/m, `$1${fitted}`);
      expect(edited).not.toBe(text);
      writeFileSync(valve, edited);
      const svg = join(folder, "h.svg");
      const told = await coldturn(["history", place, "--svg", svg]);
      expect([told.status, told.stderr]).toEqual([0, ""]);
      expect(widest(told.stdout)).toBeLessThanOrEqual(100);
      expect(told.stdout).toMatch(/sealed [0-9a-f]{12}[\s\S]*run first[\s\S]*update from first/);
      expect(told.stdout).toContain("valve.seat.friction: 0.075 +/- 0.028 -> ");
      expect(readFileSync(svg, "utf8")).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
      const record = recordOf(await coldturn(["history", place, "--json", "--case", "dry-ambient"]));
      expect([0, 1, 2].map((i) => at(record, `result.events.${i}.kind`))).toEqual([
        "prediction",
        "run",
        "update",
      ]);
      expect(at(record, "result.events.0.definition")).toBe(at(record, "result.events.1.definition"));
      // The log was made 1.2 times as slow as the model predicts, but for its dead time of 15 ms.
      const predicted = Number(at(record, "result.events.0.time_s"));
      const measured = Number(at(record, "result.events.1.time_s"));
      expect((measured - 0.015) / (predicted - 0.015)).toBeCloseTo(1.2, 1);
      const again = await coldturn(["history", place, "--svg", svg]);
      expect(again.status).toBe(2);
    });
  });
});
