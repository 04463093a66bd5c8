import { describe, expect, it } from "vitest";
import {
  type Fault,
  FaultCollector,
  faultsText,
  faultText,
  noticeText,
  Refusal,
  refuse,
} from "../../src/fault/index.js";

const fault: Fault = {
  code: "out-of-bounds",
  where: {
    file: "valve.yaml",
    line: 14,
    column: 17,
    length: 3,
    sourceLine: "    efficiency: 1.3",
    field: "drive.stages[1].efficiency",
  },
  found: "1.3 is not between 0 and 1",
  allowed: "An efficiency is the share of power passed on.",
  mend: 'Write 0.78 or "78 %".',
};

describe("a fault as text", () => {
  it("has place, finding, the user's line with a caret, what is allowed, the mend", () => {
    expect(faultText(fault)).toBe(
      [
        "valve.yaml:14:17  drive.stages[1].efficiency  1.3 is not between 0 and 1",
        "   14 |     efficiency: 1.3",
        "      |                 ^^^",
        'An efficiency is the share of power passed on. Write 0.78 or "78 %".',
      ].join("\n"),
    );
  });
  it("ends with the near name", () => {
    expect(faultText({ ...fault, near: "efficiency" })).toMatch(
      /Write 0\.78 or "78 %"\. Did you mean "efficiency"\?$/,
    );
  });
  it("leaves out what is not known", () => {
    const { sourceLine: _, ...placeOnly } = fault.where;
    expect(faultText({ ...fault, where: placeOnly }).split("\n")).toHaveLength(2);
    expect(faultText({ ...fault, where: {} })).toMatch(/^1\.3 is not between 0 and 1\n/);
    expect(faultText({ ...fault, where: { line: 3, column: 5 } })).toMatch(/^line 3:5 {2}1\.3/);
    expect(faultText({ ...fault, where: { file: "a.csv", line: 3 } })).toMatch(/^a\.csv:3 {2}1\.3/);
    expect(faultText({ ...fault, where: { file: "a.csv" }, allowed: "", mend: "Write 1" })).toBe(
      "a.csv  1.3 is not between 0 and 1\nWrite 1.",
    );
  });
  it("keeps tabs ahead of the caret, so that it stands under its character", () => {
    const text = faultText({ ...fault, where: { line: 2, column: 3, length: 2, sourceLine: "\t\tab" } });
    expect(text.split("\n").slice(1, 3)).toEqual(["    2 | \t\tab", "      | \t\t^^"]);
  });
  it("never points past the line, and points at its end where something is missing", () => {
    const caretOf = (column: number, length: number) =>
      faultText({ ...fault, where: { line: 2, column, length, sourceLine: "abc" } }).split("\n")[2];
    expect(caretOf(2, 99)).toBe("      |  ^^");
    expect(caretOf(4, 1)).toBe("      |    ^");
    expect(caretOf(1, 0)).toBe("      | ^");
  });
  it("shows only the part about the column of a very long line", () => {
    const sourceLine = `${"1.0,".repeat(500)}x${",2.0".repeat(500)}`;
    const lines = faultText({ ...fault, where: { line: 7, column: 2001, sourceLine } }).split("\n");
    expect(lines[1]?.length).toBeLessThan(112);
    expect(lines[1]?.[lines[2]?.indexOf("^") ?? -1]).toBe("x");
    expect(lines[1]).toMatch(/^ {4}7 \| \.\.\..*\.\.\.$/);
  });
});

it("several faults stand in the order of the file, with a blank line between", () => {
  const at = (line: number, column: number, file = "a.yaml"): Fault => ({
    ...fault,
    where: { file, line, column },
    found: `${file} ${line}:${column}`,
  });
  const text = faultsText([
    at(9, 1),
    at(2, 8),
    at(2, 3),
    at(1, 1, "b.yaml"),
    { ...fault, where: {}, found: "first" },
  ]);
  expect(text.split("\n\n").map((part) => part.split("\n")[0]?.split("  ").at(-1))).toEqual([
    "first",
    "a.yaml 2:3",
    "a.yaml 2:8",
    "a.yaml 9:1",
    "b.yaml 1:1",
  ]);
});

it("a notice is one line with its field", () => {
  expect(
    noticeText({ code: "extrapolated", text: "12 K below the table, which ends at 66 K", field: "seat" }),
  ).toBe("note  seat  12 K below the table, which ends at 66 K");
  expect(noticeText({ code: "x", text: "y" })).toBe("note  y");
});

describe("gathering faults", () => {
  it("keeps every refusal with its field, and lets results and defects through", () => {
    const collector = new FaultCollector();
    expect(collector.attempt("a", () => 3)).toBe(3);
    expect(collector.attempt("b", () => refuse("x", "found", "allowed", "mend"))).toBeUndefined();
    collector.attempt("c", () => {
      throw new Refusal([
        { ...fault, where: { field: "own" } },
        { ...fault, where: { line: 3 } },
      ]);
    });
    expect(collector.faults().map((kept) => kept.where.field)).toEqual(["b", "own", "c"]);
    expect(() => collector.refuseIfAny()).toThrow(Refusal);
    expect(() =>
      collector.attempt("d", () => {
        throw new TypeError("a defect");
      }),
    ).toThrow(TypeError);
  });
  it("refuses nothing where nothing was refused", () => {
    expect(() => new FaultCollector().refuseIfAny()).not.toThrow();
  });
});
