import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { describeSchema, readDossier, uncertainInputs, valueAt } from "../../src/dossier/index.js";
import { readValve } from "./read.js";

const folder = new URL("../../data/parts/", import.meta.url);
const shipped = readdirSync(folder).map((name) => {
  const part: unknown = JSON.parse(readFileSync(new URL(name, folder), "utf8"));
  return {
    file: name,
    part: part as { readonly name: string; readonly kind: string; readonly reason: string },
  };
});

/** A valve file that names the part where its kind belongs. */
function naming(kind: string, name: string): { readonly text: string; readonly at: string } {
  const part = `{ part: "${name}" }`;
  const files: Readonly<Record<string, { readonly text: string; readonly at: string }>> = {
    motor: { text: `drive: { motor: ${part} }`, at: "drive.motor" },
    stage: { text: `drive: { stages: [${part}] }`, at: "drive.stages[0]" },
    seat: { text: `valve: { seat: ${part} }`, at: "valve.seat" },
    valve: { text: `valve: ${part}`, at: "valve" },
    battery: { text: `drive: { supply: ${part} }`, at: "drive.supply" },
  };
  return files[kind] ?? { text: "", at: "" };
}

describe("the shipped part", () => {
  it.each(shipped)("$file reads without a fault, every value with its reason", ({ part }) => {
    const { text, at } = naming(part.kind, part.name);
    const { dossier, faults } = readValve(text);
    expect(faults).toEqual([]);
    const inputs = uncertainInputs(dossier);
    expect(inputs.length).toBeGreaterThan(0);
    for (const { path, declared } of inputs) {
      expect(path.startsWith(`${at}.`)).toBe(true);
      expect(declared).toMatchObject({ origin: "catalogue", because: `part ${part.name}: ${part.reason}` });
    }
  });

  it("has a name of its own", () => {
    const names = shipped.map(({ part }) => part.name);
    expect(new Set(names).size).toBe(names.length);
    expect(shipped.length).toBeGreaterThan(20);
  });
});

describe("a part", () => {
  it("fills only what the valve file leaves out", () => {
    const { dossier } = readValve(
      "drive:\n  motor:\n    part: generic brushless 100 W\n    resistance: 0.8 ohm\n",
    );
    expect(valueAt(dossier, "drive.motor.resistance")).toMatchObject({ value: 0.8, origin: "assumed" });
    expect(valueAt(dossier, "drive.motor.inductance")?.origin).toBe("catalogue");
  });

  it("does not fill a field with a fault", () => {
    const { dossier } = readValve(
      "drive:\n  motor:\n    part: generic brushless 100 W\n    resistance: 0.8 om\n",
    );
    expect(valueAt(dossier, "drive.motor.resistance")).toBeUndefined();
  });

  it("that contradicts the file is shown at the line of the file", () => {
    const { faults } = readValve("valve:\n  part: generic full-bore DN32\n  ball_diameter: 30 mm\n");
    expect(faults.map(({ code, where }) => [code, where.line])).toEqual([
      ["ball-smaller-than-bore", 2],
      ["seat-larger-than-ball", 2],
    ]);
  });

  it("of the team is read from its file and goes before a shipped one of the same name", () => {
    const text =
      "name: generic brushless 100 W\nkind: motor\nreason: our own measurement\nvalues:\n  resistance: 0.61 ohm +/- 0.01 ohm\n";
    const { dossier, faults } = readDossier({
      valve: { path: "valve.yaml", text: "drive: { motor: { part: generic brushless 100 W } }" },
      parts: [{ path: "parts/motor.yaml", text }],
    });
    expect(faults).toEqual([]);
    expect(valueAt(dossier, "drive.motor.resistance")).toMatchObject({
      value: 0.61,
      reference: "parts/motor.yaml",
    });
    expect(valueAt(dossier, "drive.motor.inductance")).toBeUndefined();
  });

  it("of the team with a fault is reported at its own file, and its other values are used", () => {
    const text = "name: ours\nkind: stage\nvalues:\n  ratio: 10\n  efficiency: 1.2\n  bore: 3 mm\n";
    const { dossier, faults } = readDossier({
      valve: { path: "valve.yaml", text: "drive: { stages: [{ part: ours }] }" },
      parts: [{ path: "parts/stage.yaml", text }],
    });
    expect(faults.map(({ code, where }) => [code, where.file, where.line])).toEqual([
      ["out-of-bounds", "parts/stage.yaml", 5],
      ["unknown-field", "parts/stage.yaml", 6],
    ]);
    expect(valueAt(dossier, "drive.stages[0].ratio")?.value).toBe(10);
  });
});

it("every section that a part can fill has the field that names it", () => {
  const paths = describeSchema().map(({ path }) => path);
  for (const at of ["valve", "valve.seat", "drive.motor", "drive.stages[]", "drive.supply"]) {
    expect(paths).toContain(`${at}.part`);
  }
});
