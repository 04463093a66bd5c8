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
});
