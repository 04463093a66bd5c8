import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { stringify } from "yaml";
import {
  applyDefaults,
  type Dossier,
  editValveText,
  starterFile,
  uncertainInputs,
  valueAt,
  withValues,
} from "../../src/dossier/index.js";
import { formatUncertain } from "../../src/quantity/index.js";
import { randomFile, type Section, stepsOf, withData, withoutData } from "./arbitrary.js";
import { changedLines, readValve } from "./read.js";

const runs = { numRuns: 100 };
const textOf = (data: Section) => (Object.keys(data).length === 0 ? "name: Petrel\n" : stringify(data));

/** Every number of a result; NaN is never one of them. */
function numbersIn(item: unknown): readonly number[] {
  if (typeof item === "number") return [item];
  if (typeof item !== "object" || item === null) return [];
  return Object.values(item).flatMap(numbersIn);
}

function expectNoNaN(dossier: Dossier): void {
  expect(numbersIn(dossier.valve).filter(Number.isNaN)).toEqual([]);
}

describe("random valve files", () => {
  it("read as what was printed, every value", () => {
    fc.assert(
      fc.property(randomFile, ({ data, expected }) => {
        const { dossier, faults } = readValve(textOf(data));
        expect(faults).toEqual([]);
        for (const [path, si] of expected) {
          const read = valueAt(dossier, path)?.value ?? Number.NaN;
          expect(Math.abs(read - si), path).toBeLessThanOrEqual(1e-12 * Math.abs(si));
        }
        expectNoNaN(dossier);
        expectNoNaN(applyDefaults(dossier).dossier);
      }),
      runs,
    );
  });

  it("lose one field and nothing else where it is deleted", () => {
    fc.assert(
      fc.property(randomFile, fc.nat(), ({ data, expected }, pick) => {
        const paths = [...expected.keys()];
        const gone = paths[pick % Math.max(1, paths.length)];
        if (gone === undefined) return;
        const { dossier, faults } = readValve(textOf(withoutData(data, stepsOf(gone))));
        expect(faults).toEqual([]);
        expect(valueAt(dossier, gone)).toBeUndefined();
        for (const [path] of expected) if (path !== gone) expect(valueAt(dossier, path), path).toBeDefined();
        expectNoNaN(applyDefaults(dossier).dossier);
      }),
      runs,
    );
  });

  const rubbish = fc.oneof(
    fc.constantFrom<unknown>(
      "",
      " ",
      "12",
      "-5",
      "1e400",
      "NaN",
      "Infinity",
      ".nan",
      "0x1F",
      "5 furlong",
      "3 m/s/s/s",
      "28 bar",
      "28 bar(g)",
      "-300 degC",
      "1,5 mm",
      "+/- 3",
      "1 +/- -2 mm",
      "from 3 mm to 1 mm",
      "~",
      "yes",
      true,
      false,
      0,
      -1,
      1e308,
      [],
      {},
      ["1 mm"],
      { from: "1 mm" },
      { nominal: "1 mm", low: "2 mm", high: "0 mm" },
      { value: { value: 1 } },
      { a: { b: { c: 1 } } },
      "*",
      "&x",
      "!!int 3",
      "{",
      "[",
      "a: b",
      "#",
      "\u0000",
      "🙂",
      "1 mm\n2 mm",
    ),
    fc.string({ maxLength: 12 }),
    fc.double().map((number) => `${number} mm`),
  );

  it("report a mistyped or impossible value at its place, and lose no neighbour", () => {
    fc.assert(
      fc.property(randomFile, fc.nat(), rubbish, ({ data, expected }, pick, bad) => {
        const paths = [...expected.keys()];
        const broken = paths[pick % Math.max(1, paths.length)];
        if (broken === undefined) return;
        const { dossier, faults } = readValve(textOf(withData(data, stepsOf(broken), bad)));
        expectNoNaN(dossier);
        expectNoNaN(applyDefaults(dossier).dossier);
        for (const fault of faults) {
          expect(fault.found).not.toBe("");
          expect(fault.mend).not.toBe("");
          expect(fault.where.line).toBeGreaterThan(0);
        }
        const own = faults.filter(({ where }) => where.field === broken);
        const isGiven = valueAt(dossier, broken) !== undefined;
        // Blank is not known; anything else is read or reported.
        if (!isGiven && String(bad).trim() !== "" && bad !== "~") expect(faults.length).toBeGreaterThan(0);
        if (own.length > 0) expect(valueAt(applyDefaults(dossier).dossier, broken)).toBeUndefined();
        if (faults.length > 0 && faults.every(({ where }) => where.field === broken)) {
          for (const [path] of expected) {
            if (path !== broken && !related(path, broken)) expect(valueAt(dossier, path), path).toBeDefined();
          }
        }
      }),
      { numRuns: 200 },
    );
  });

  it("survive any text at all", () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string({ maxLength: 200 }),
          fc
            .array(
              fc.constantFrom(
                "valve:",
                "  ",
                "- ",
                "bore",
                ": ",
                "{",
                "}",
                "[",
                "]",
                "&a ",
                "*a",
                "\n",
                "32 mm",
                "#",
                "'",
                '"',
                "|",
                ">",
                "?",
                "!",
                "%",
                "\t",
                "---\n",
                "<<: ",
              ),
              { maxLength: 60 },
            )
            .map((parts) => parts.join("")),
        ),
        (text) => {
          const { dossier } = readValve(text);
          expectNoNaN(applyDefaults(dossier).dossier);
        },
      ),
      { numRuns: 1500 },
    );
  });
});

/** Fields that one contradiction can take with them. */
function related(a: string, b: string): boolean {
  const groups = [
    /^valve\.(bore|seat_contact_diameter|ball_diameter|seat\.seal_diameter)$/,
    /^valve\.stem\.collar_/,
    /^duty\.close_within\./,
    /^duty\.throttle\./,
    /^drive\.stages\[\d\]\.(rated|momentary)_torque$/,
  ];
  return groups.some((group) => group.test(a) && group.test(b));
}

describe("changes of values", () => {
  it("with values: the changed ones differ, all others stay, the dossier itself stays", () => {
    fc.assert(
      fc.property(randomFile, ({ data }) => {
        const { dossier } = readValve(textOf(data));
        const inputs = uncertainInputs(dossier);
        const [first] = inputs;
        if (first === undefined) return;
        const changed = { ...first.declared, value: first.declared.value * 1.5, origin: "fitted" as const };
        const next = withValues(dossier, new Map([[first.path, changed]]));
        expect(valueAt(next, first.path)).toEqual(changed);
        expect(valueAt(dossier, first.path)).toEqual(first.declared);
        for (const { path, declared } of inputs.slice(1)) expect(valueAt(next, path)).toBe(declared);
      }),
      { numRuns: 80 },
    );
  });

  it("edits read back as written and leave every other line, in random files and in the starting file", () => {
    fc.assert(
      fc.property(randomFile, fc.boolean(), fc.nat(), ({ data, expected }, fromStarter, pick) => {
        const text = fromStarter ? starterFile("Petrel") : textOf(data);
        const paths = [...expected.keys()].filter((path) => !fromStarter || !path.includes("["));
        const path = paths[pick % Math.max(1, paths.length)];
        if (path === undefined) return;
        const dimension = valueAt(readValve(textOf(data)).dossier, path)?.dimension ?? "ratio";
        const si = expected.get(path) ?? 0;
        const value = formatUncertain(si, Math.abs(si) / 50 + 1e-12, dimension);
        const edited = editValveText(text, [{ path, value }]);
        const { dossier } = readValve(edited);
        const related = valueAt(dossier, path);
        if (related !== undefined)
          expect(Math.abs(related.value - si)).toBeLessThanOrEqual(0.011 * Math.abs(si));
        // A value in several lines goes as a whole: all lines behind the first are indented deeper.
        const [first = "", ...rest] = changedLines(text, edited).before;
        const indent = /^ */.exec(first)?.[0] ?? "";
        expect(rest.filter((line) => !line.startsWith(`${indent} `))).toEqual([]);
      }),
      { numRuns: 80 },
    );
  });
});
