/** The page of the library: written from the declarations, and its samples print what it shows. */
import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  isRefusal,
  predictValve,
  properties,
  quantityText,
  readValve,
  toSi,
} from "../../src/api/coldturn.js";
import { apiPage } from "../../tools/apiPage.js";
import { built } from "../host/built.js";
import { root, textOf } from "./files.js";
import { missingLine, wantedLines } from "./printed.js";

const page = textOf("docs/api.md");
const SAMPLE = /^<!-- sample -->\n+```js\n([\s\S]*?)^```\n+<!-- prints -->\n+```text\n([\s\S]*?)^```/gm;
const samples = [...page.matchAll(SAMPLE)].map(([, program = "", prints = ""]) => ({ program, prints }));

it("docs/api.md is what tools/apiPage.ts writes; `node dist/tools/apiPage.js` writes it anew", () => {
  expect(apiPage(page)).toBe(page);
});

describe("the samples of the page", () => {
  const folder = mkdtempSync(join(tmpdir(), "coldturn-api-"));
  beforeAll(() => {
    built("src/api/coldturn.js");
    mkdirSync(join(folder, "node_modules"));
    symlinkSync(root, join(folder, "node_modules", "coldturn"));
    cpSync(join(root, "demo", "petrel-oxygen-main"), join(folder, "demo", "petrel-oxygen-main"), {
      recursive: true,
    });
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it("print what stands below them", () => {
    expect(samples.length).toBeGreaterThan(3);
    for (const [i, { program, prints }] of samples.entries()) {
      const file = join(folder, `sample${i}.mjs`);
      writeFileSync(file, program);
      const { status, stdout, stderr } = spawnSync(process.execPath, [file], {
        cwd: folder,
        encoding: "utf8",
      });
      expect(status, `${program}\n${stderr}`).toBe(0);
      expect(missingLine(wantedLines(prints), stdout), stdout).toBeUndefined();
    }
    expect(readFileSync(join(folder, "opening.svg"), "utf8")).toMatch(/^<svg/);
  });
});

describe("the library", () => {
  it("boiling point of oxygen at one atmosphere: Schmidt & Wagner 1985, 90.188 K", () => {
    for (const pressure of [101_325, "1.01325 bar(a)"])
      expect(properties("oxygen", { pressure }).summary).toContain("90.19 K");
  });

  it("reads and prints values with units", () => {
    expect(toSi("28 bar(a)", "pressure")).toBe(28e5);
    expect(toSi("1 bar(g)", "pressure", { ambientPressure_Pa: 9e4 })).toBeCloseTo(19e4, 6);
    expect(quantityText(0.5, "time", { unit: "ms" })).toBe("500 ms");
    expect(() => toSi("1 m", "lenght")).toThrow(RangeError);
  });

  it("tells a refusal of the input from a defect", async () => {
    const valve = readValve("coldturn: 1\nname: x\nvalve: { bore: wide }\n");
    expect(valve.faults[0]?.where).toMatchObject({ field: "valve.bore", line: 3 });
    const refused: unknown = await predictValve(valve, { case: "cold" }).catch((thrown: unknown) => thrown);
    expect(isRefusal(refused)).toBe(true);
    await expect(predictValve(valve, { samples: -1 })).rejects.toThrow(RangeError);
    await expect(predictValve({ ...valve })).rejects.toThrow(TypeError);
  });
});
