import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  conditionsOf,
  editValveText,
  partsOfTable,
  readDossier,
  withValues,
} from "../../src/dossier/index.js";
import { type Fault, faultsText, noticeText, Refusal } from "../../src/fault/index.js";
import { parseDeclared } from "../../src/quantity/index.js";
import { readValve } from "./read.js";

/**
 * Each code of src/dossier has a page in docs/errors. The page holds a file that provokes it and, below,
 * what is printed for it: the pages are the expected texts.
 */
const root = new URL("../../", import.meta.url);
const textOf = (path: string) => readFileSync(new URL(path, root), "utf8");
const PAGE =
  /<!-- provoked by (this valve file|this file of a part|two files of a part, the second a copy) -->\n```yaml\n([\s\S]+?)```\n\n```text\n([\s\S]+?)\n```/;

const names = readdirSync(new URL("docs/errors/", root)).map((name) => name.replace(".md", ""));
const pages = names.flatMap((code) => {
  const text = textOf(`docs/errors/${code}.md`);
  const [, what, sample, printed] = PAGE.exec(text) ?? [];
  return what === undefined || sample === undefined || printed === undefined
    ? []
    : [{ code, text, what, sample, printed }];
});

function readSample(what: string, text: string) {
  if (what === "this valve file") return readValve(text);
  const files = what === "this file of a part" ? ["ours"] : ["ours", "theirs"];
  return readDossier({
    valve: { path: "valve.yaml", text: "name: Petrel" },
    parts: files.map((name) => ({ path: `parts/${name}.yaml`, text })),
  });
}

describe("the page of", () => {
  it.each(pages)(
    "$code shows what provokes it and what is printed",
    ({ code, text, what, sample, printed }) => {
      const { faults, notices } = readSample(what, sample);
      expect(new Set([...faults, ...notices].map((found) => found.code))).toEqual(new Set([code]));
      expect([faultsText(faults), ...notices.map(noticeText)].filter((part) => part !== "").join("\n")).toBe(
        printed,
      );
      expect(text.startsWith(`# ${code}\n`)).toBe(true);
    },
  );
});

/** Codes that no single small file provokes, with the act that does. */
const acts: Readonly<Record<string, () => readonly Fault[]>> = {
  "file-too-large": () => readValve(`# ${"x".repeat(1_200_000 - 2)}`).faults,
  "file-too-many-fields": () => readValve(`cases:\n${"  - {}\n".repeat(5_001)}`).faults,
  "list-too-long": () => readValve(`drive:\n  stages:\n${"    - ratio: 2\n".repeat(201)}`).faults,
  "case-unknown": () =>
    refusal(() =>
      conditionsOf(readValve("cases:\n  - id: dry-ambient\n  - id: nitrogen\n").dossier, "nitrogn"),
    ),
  "part-mapping": () =>
    partsOfTable(
      { path: "motors.csv", columns: ["Type", "R"], rows: [{ line: 2, cells: ["M 60", "0,8"] }] },
      {
        path: "motors.map.yaml",
        text: "kind: motor\nname: Type\ndecimal: comma\ncolumns:\n  - { column: R, field: resistence, unit: ohm }\n",
      },
    ).faults,
  "part-row": () =>
    partsOfTable(
      { path: "motors.csv", columns: ["Type", "R"], rows: [{ line: 2, cells: ["M 60", "1.2"] }] },
      {
        path: "motors.map.yaml",
        text: "kind: motor\nname: Type\ndecimal: comma\ncolumns:\n  - { column: R, field: resistance, unit: ohm }\n",
      },
    ).faults,
  "path-unknown": () =>
    refusal(() =>
      withValues(
        readValve("drive:\n  stages:\n    - ratio: 12\n    - ratio: 10\n").dossier,
        new Map([["drive.stages[1].eficiency", parseDeclared("0.9", "ratio")]]),
      ),
    ),
  "edit-no-value": () =>
    refusal(() => editValveText("name: Petrel\n", [{ path: "valve.seat", value: "PTFE" }])),
  "edit-no-place": () =>
    refusal(() =>
      editValveText("drive:\n  stages:\n    - ratio: 12\n", [{ path: "drive.stages[2].ratio", value: "10" }]),
    ),
  "edit-shared": () =>
    refusal(() =>
      editValveText("valve:\n  seat:\n    friction: &mu 0.1\n  stem:\n    collar_friction: *mu\n", [
        { path: "valve.seat.friction", value: "0.2" },
      ]),
    ),
  "edit-older-format": () =>
    refusal(() =>
      editValveText("drive: { hold: { largest_swing: 0.5 deg } }\n", [
        { path: "valve.bore", value: "32 mm" },
      ]),
    ),
  "edit-unreadable": () => refusal(() => editValveText("name: [\n", [{ path: "name", value: "Petrel" }])),
};

it.each(Object.entries(acts))("the page of %s shows what is printed", (code, act) => {
  const text = textOf(`docs/errors/${code}.md`);
  const faults = act();
  expect(faults.map((fault) => fault.code)).toEqual([code]);
  expect(/```text\n([\s\S]+?)\n```/.exec(text)?.[1]).toBe(faultsText(faults));
});

it("the page of gauge-without-atmosphere shows what is printed, beside the fault itself", () => {
  const { dossier, faults, notices } = readValve(
    "duty:\n  ambient_pressure: 1.013 bor(a)\n  supply_pressure: 27 bar(g)\n",
  );
  expect(faults.map(({ where }) => where.field)).toEqual(["duty.ambient_pressure"]);
  expect(notices.map(({ code }) => code)).toEqual(["gauge-without-atmosphere"]);
  expect(textOf("docs/errors/gauge-without-atmosphere.md")).toContain(notices.map(noticeText).join("\n"));
  expect(dossier.valve.duty?.supply_pressure).toBeUndefined();
});

it("no code of src/dossier is without a page, and each page is provoked", () => {
  const sources = readdirSync(new URL("src/dossier/", root), { withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ name }) => textOf(`src/dossier/${name}`));
  const codes = sources.flatMap((source) =>
    [...source.matchAll(/\b(?:code: |(?:refuse|fault|report)\(\s*|\],\s*)"([a-z]+(?:-[a-z]+)+)"/g)].map(
      ([, code]) => code ?? "",
    ),
  );
  // The pages of a bound and of a range are provoked with a quantity: test/project/errors/pages.test.ts.
  const provoked = [
    "gauge-without-atmosphere",
    // Of a record: the same test.
    "record-reference",
    "out-of-bounds",
    "range-reversed",
    ...pages.map(({ code }) => code),
    ...Object.keys(acts),
  ];
  expect(codes.length).toBeGreaterThan(40);
  expect(codes.filter((code) => !provoked.includes(code))).toEqual([]);
});

function refusal(act: () => unknown): readonly Fault[] {
  try {
    act();
  } catch (thrown) {
    if (thrown instanceof Refusal) return thrown.faults;
    throw thrown;
  }
  throw new Error("nothing was refused");
}
