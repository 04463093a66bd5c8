/** A value changed without reading the file: the same dossier as reading it gives, or none. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import {
  changedDossier,
  editValveText,
  leaveOutValue,
  readDossier,
  valueAt,
} from "../../src/dossier/index.js";
import { Refusal } from "../../src/fault/index.js";
import { root } from "../project/files.js";

const text = readFileSync(join(root, "demo", "petrel-oxygen-main", "valve.yaml"), "utf8");
const read = (of: string) => readDossier({ valve: { path: "valve.yaml", text: of } }).dossier;
const given = read(text);

describe("one value changed", () => {
  it.each([
    ["valve.seat.friction", "0.12 +/- 0.02"],
    ["valve.bore", "31.5 mm"],
    ["duty.supply_pressure", "63 bar(a)"],
    ["drive.motor.resistance", "0.5 ohm"],
    ["valve.cavity.heat_leak", "22 W"],
  ])("%s: %s is what the reader makes of the file", (path, written) => {
    const edited = read(editValveText(text, [{ path, value: written }]));
    expect(changedDossier(given, path, written)?.valve).toEqual(edited.valve);
  });

  it.each([
    ["valve.hydrodynamic.scale", "1.2"],
    ["valve.contraction", "0.7"],
    ["drive.coupling.stiffness", "900 N m/rad"],
    ["duty.dwell", "40 min"],
    ["valve.packing.friction", "0.2"],
  ])("%s: %s, left out so far, is what the reader makes of the file with it", (path, written) => {
    const without = read(leaveOutValue(text, path));
    expect(valueAt(without, path)).toBeUndefined();
    const edited = read(editValveText(text, [{ path, value: written }]));
    expect(valueAt(edited, path)).toBeDefined();
    expect(changedDossier(without, path, written)?.valve).toEqual(edited.valve);
  });

  it("a field of a list item that is not there is left to the reader", () => {
    expect(changedDossier(given, "drive.stages[7].efficiency", "0.9")).toBeUndefined();
  });

  it("a value beyond its bounds is refused", () => {
    expect(() => changedDossier(given, "valve.seat.friction", "-3")).toThrow(Refusal);
  });

  it.each([
    ["contradicts another", "valve.bore", "200 mm"],
    ["counts from the atmosphere", "duty.supply_pressure", "60 bar(g)"],
    ["is what others count from", "duty.ambient_pressure", "1.01 bar(a)"],
    ["is no value", "valve.support", "trunnion"],
  ])("one that %s is left to the reader", (_, path, written) => {
    expect(changedDossier(given, path, written)).toBeUndefined();
  });
});
