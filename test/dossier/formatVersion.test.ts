/** Files of older and newer format versions; test/dossier/formats/ has a file of each old one and what it becomes. */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  editValveText,
  fileForms,
  migratedFile,
  readHazards,
  readStandFile,
  valueAt,
} from "../../src/dossier/index.js";
import { noticeText } from "../../src/fault/index.js";
import { changedLines, readValve } from "./read.js";

const sample = (name: string) => readFileSync(new URL(`formats/${name}`, import.meta.url), "utf8");
const formOf = (file: string) => {
  const form = fileForms.find((one) => one.file === file);
  if (form === undefined) throw new Error(`no form of ${file}`);
  return form;
};
const valve = formOf("valve.yaml");
const hazards = formOf("hazards.yaml");
const migrated = (form: typeof valve, text: string) => migratedFile(form, { path: form.file, text });

describe("a valve file of version 0", () => {
  const old = sample("valve-0.yaml");
  it("is read as the file that it becomes, value by value, and says so", () => {
    const now = readValve(sample("valve-0-as-1.yaml"));
    const { dossier, faults, notices } = readValve(old);
    expect([faults, now.faults, now.notices]).toEqual([[], [], []]);
    for (const path of ["drive.hold.largest_error", "drive.hold.dead_band", "valve.bore"]) {
      expect(valueAt(now.dossier, path), path).toBeDefined();
      expect(valueAt(dossier, path), path).toEqual(valueAt(now.dossier, path));
    }
    expect(notices.map(({ code }) => code)).toEqual(["format-older"]);
    expect(notices.map(noticeText).join()).toContain("largest_swing is called drive.hold.largest_error");
  });

  it("becomes the file of version 1: every other line stays, comments and columns too", () => {
    const found = migrated(valve, old);
    expect(found?.text).toBe(sample("valve-0-as-1.yaml"));
    expect([found?.from, found?.to, found?.steps.length]).toEqual([0, 1, 2]);
    expect(migrated(valve, found?.text ?? "")).toBeUndefined();
  });

  it("takes no edit, so that no field stands in it under two names", () => {
    expect(() => editValveText(old, [{ path: "drive.hold.largest_error", value: "1 deg" }])).toThrow(
      /format version 0/,
    );
    expect(editValveText("valve:\n  bore: 1 mm\n", [{ path: "valve.bore", value: "2 mm" }])).toContain(
      "2 mm",
    );
  });

  it.each([
    ["valve:\n  bore: 32 mm\n", "coldturn: 1\nvalve:\n  bore: 32 mm\n"],
    ["# ours\r\n\r\nvalve:\r\n  bore: 32 mm\r\n", "# ours\r\n\r\ncoldturn: 1\r\nvalve:\r\n  bore: 32 mm\r\n"],
    ["\uFEFFname: x\n", "\uFEFFcoldturn: 1\nname: x\n"],
    ["{ name: x }\n", "{ coldturn: 1, name: x }\n"],
    ["  name: x\n  valve:\n", "  coldturn: 1\n  name: x\n  valve:\n"],
    ["name: x\ncoldturn:   # which?\nvalve:\n", "name: x\ncoldturn: 1   # which?\nvalve:\n"],
    ["---\nname: x\n", "---\ncoldturn: 1\nname: x\n"],
    ["drive: { hold: { 'largest_swing': 1 deg } }", "coldturn: 1\ndrive: { hold: { largest_error: 1 deg } }"],
  ])("%j becomes %j", (before, after) => {
    expect(migrated(valve, before)?.text).toBe(after);
    expect(readValve(after).faults).toEqual([]);
  });

  it("keeps an old name beside the new one, and one at another place: which is meant, nobody can tell", () => {
    for (const text of [
      "drive: { hold: { largest_swing: 1 deg, largest_error: 2 deg } }\n",
      "valve: { largest_swing: 1 deg }\n",
    ]) {
      expect(changedLines(text, migrated(valve, text)?.text ?? "").after).toEqual(["coldturn: 1"]);
      expect(readValve(text).faults.map(({ code }) => code)).toContain("unknown-field");
    }
  });
});

describe("a register of version 0", () => {
  it("becomes the register of version 1", () => {
    const old = sample("hazards-0.yaml");
    expect(migrated(hazards, old)?.text).toBe(sample("hazards-0-as-1.yaml"));
    const read = readHazards({ path: "hazards.yaml", text: old });
    expect([read.faults, read.rows]).toEqual([
      [],
      readHazards({ path: "hazards.yaml", text: sample("hazards-0-as-1.yaml") }).rows,
    ]);
  });
});

describe("a file of a newer version", () => {
  it.each([
    [
      "a valve file",
      "coldturn: 2\nname: x\nvalve: { bore: 32 mm }\nunheard_of: 1\n",
      (text: string) => readValve(text).faults,
    ],
    [
      "a file of owners and waivers",
      "coldturn_stand: 2\nowners:\n",
      (text: string) => readStandFile({ path: "stand.yaml", text }).faults,
    ],
    [
      "a register",
      "coldturn_hazards: 9\nrows:\n",
      (text: string) => readHazards({ path: "hazards.yaml", text }).faults,
    ],
  ])("%s is not read at all, with one fault", (_, text, faultsIn) => {
    expect(faultsIn(text).map(({ code, where }) => [code, where.line])).toEqual([["format-newer", 1]]);
  });

  it("is not migrated, and a valve file leaves nothing known", () => {
    const text = "name: x\nvalve: { bore: 32 mm }\ncoldturn: 2\n";
    expect(() => migrated(valve, text)).toThrow(/format version 2/);
    expect(readValve(text).dossier.places.size).toBe(0);
  });
});

it.each(["1.5", "one", "-1", "0", "[]", "true"])("a version of %s is a fault of its field alone", (word) => {
  const { dossier, faults } = readValve(`coldturn: ${word}\nvalve: { bore: 32 mm }\n`);
  expect(faults.map(({ where }) => where.field)).toEqual(["coldturn"]);
  expect(valueAt(dossier, "valve.bore")).toBeDefined();
});

it("every form has a migration from each version before its own, or none where nothing reads otherwise", () => {
  for (const { file, version, migrations } of fileForms) {
    const from = migrations.map((one) => one.from);
    expect(from, file).toEqual([...from].sort((a, b) => a - b));
    expect(
      from.every((one) => one >= 0 && one < version),
      file,
    ).toBe(true);
  }
});
