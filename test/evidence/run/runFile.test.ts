import { describe, expect, it } from "vitest";
import { readRun } from "../../../src/evidence/index.js";
import { Refusal } from "../../../src/fault/index.js";

function faultsIn(text: string) {
  try {
    readRun(text, "run.yaml");
  } catch (error) {
    if (error instanceof Refusal) return error.faults;
    throw error;
  }
  throw new Error("it was read");
}

describe("a run.yaml", () => {
  it("with a misspelt key has one fault for it, at its line, with the key that is meant", () => {
    const faults = faultsIn("coldturn_run: 1\nid: first\ncaze: dry\n");
    const about = faults.filter(({ where }) => where.field === "caze" || where.field === "case");
    expect(about).toMatchObject([
      { where: { line: 3, field: "caze" }, found: '"caze" is no key here', near: "case" },
    ]);
  });

  it("without a key says that it is missing, in no library's words", () => {
    const faults = faultsIn("coldturn_run: 1\nid: first\n");
    expect(faults.map(({ where, found }) => [where.field, found])).toContainEqual(["case", "it is missing"]);
    expect(faults.map(({ found }) => found).join()).not.toMatch(/undefined|Invalid input/);
  });

  it("names no file outside the run's own folder", () => {
    const hash = "0".repeat(64);
    const mapping =
      "mapping: { dialect: { delimiter: comma, decimal: point }, time: { kind: sample number, rate: 1 kHz }, channels: [] }\n";
    const named = (file: string) =>
      `coldturn_run: 1\nid: a\ncase: dry\nimported: 2031-04-18T10:00:00Z\noriginal: { file: ${JSON.stringify(file)}, sha256: "${hash}", bytes: 1 }\n${mapping}`;
    expect(readRun(named("log [1] +.csv"), "run.yaml").original.file).toBe("log [1] +.csv");
    for (const file of ["../secret.csv", "/etc/passwd", "a/b.csv", "..", ".", "a\\b.csv", "a\u0000.csv"])
      expect([file, faultsIn(named(file)).map(({ where }) => where.field)]).toEqual([
        file,
        ["original.file"],
      ]);
  });

  it.each([
    ["references", "id: &a x\ncase: *a\n", "record-reference"],
    ["a reference to itself", "coldturn_run: 1\nmapping: &a { x: *a }\n", "record-reference"],
    ["brackets without end", `mapping: ${"[".repeat(20_000)}`, "file-nesting"],
    ["keys without end", `mapping: {${"a: 1, ".repeat(51_000)}}`, "file-too-many-fields"],
    ["a newer version", "coldturn_run: 2\nunheard: of\n", "format-newer"],
  ])("made to exhaust the reader is refused in bounded time: %s", (_, text, expected) => {
    const start = performance.now();
    expect(faultsIn(text).map(({ code }) => code)).toEqual([expected]);
    expect(performance.now() - start).toBeLessThan(20_000);
  });
});
