import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import plain from "../../data/defaults/plain.json" with { type: "json" };
import { applyDefaults, describeSchema, valueAt } from "../../src/dossier/index.js";
import { readValve } from "./read.js";

const filled = (text: string, caseId?: string) => applyDefaults(readValve(text).dossier, caseId);
const everything =
  "drive:\n  stages:\n    - ratio: 12\n  driver: { undervoltage: 18 V }\nvalve:\n  bearing: { diameter: 20 mm }\noxygen:\n  start_gas: { temperature: 290 K }\n";

describe("plain defaults", () => {
  it.each(plain.defaults)(
    "$field has a value that fits its field, a reason and a source",
    ({ field, reason, references }) => {
      const { dossier, defaults } = filled(everything);
      const path = field.replace("[]", "[0]");
      const used = defaults.find((row) => row.field === path);
      expect(used?.reason).toBe(reason);
      expect(used?.references).toEqual(references);
      expect(valueAt(dossier, path)).toMatchObject({ origin: "default", because: reason });
      expect(reason).toMatch(/\.$/);
      expect(references.length).toBeGreaterThan(0);
    },
  );
});

describe("a default", () => {
  it("stands for a field that is left out or blank", () => {
    for (const text of ["name: Petrel\n", "valve:\n  travel:\n"]) {
      expect(valueAt(filled(text).dossier, "valve.travel")?.value).toBeCloseTo(Math.PI / 2, 12);
    }
  });

  it("never stands for a field that the file gives, not even with a fault", () => {
    const { dossier, defaults } = filled("valve:\n  travel: 90 dgr\nduty:\n  probability: 0.99\n");
    expect(valueAt(dossier, "valve.travel")).toBeUndefined();
    expect(valueAt(dossier, "duty.probability")?.value).toBe(0.99);
    const fields = defaults.map(({ field }) => field);
    expect(fields).not.toContain("valve.travel");
    expect(fields).not.toContain("duty.probability");
  });

  it("never stands for what belongs to the user's own hardware", () => {
    const { dossier } = filled(everything);
    const own = [
      ...[
        "valve.bore",
        "valve.ball_diameter",
        "valve.seat.friction",
        "valve.seat.preload",
        "valve.seat.dwell_ratio",
      ],
      ...["valve.packing.friction", "valve.ice_torque", "valve.inertia", "drive.motor.resistance"],
      ...["drive.motor.torque_constant", "drive.stages[0].efficiency", "drive.stages[0].inertia"],
      ...["drive.supply.open_circuit_voltage", "drive.driver.current_limit", "drive.driver.dead_time"],
      ...["duty.supply_pressure", "duty.fluid_temperature", "duty.mass_flow", "line.upstream.drop"],
    ];
    expect(own.filter((path) => valueAt(dossier, path) !== undefined)).toEqual([]);
  });

  it("follows from the seat's material: PTFE with glass, the interval of its data file", () => {
    const { dossier } = filled("valve:\n  seat: { material: glass-filled ptfe, breakaway_ratio: 1.5 }\n");
    expect(valueAt(dossier, "valve.seat.friction")).toMatchObject({
      origin: "default",
      value: 0.11,
      law: { kind: "uniform", low: 0.07, high: 0.15 },
    });
    const ratio = valueAt(dossier, "valve.seat.friction_cold_ratio");
    expect((ratio?.value ?? 0) * 0.11).toBeCloseTo((0.06 + 0.18) / 2, 3);
    expect(valueAt(dossier, "valve.seat.breakaway_ratio")?.origin).toBe("assumed");
  });

  it("follows from the dwell of the duty or of the case asked for", () => {
    const text = "duty: { dwell: 1 h }\ncases:\n  - { id: quick, dwell: 30 s }\n  - { id: blank }\n";
    expect(valueAt(filled(text).dossier, "valve.seat.dwell_ratio")).toMatchObject({
      value: 1.2,
      law: { kind: "triangular", low: 1.1, high: 1.4 },
    });
    expect(valueAt(filled(text, "quick").dossier, "valve.seat.dwell_ratio")?.value).toBe(1);
    expect(valueAt(filled(text, "blank").dossier, "valve.seat.dwell_ratio")).toBeUndefined();
  });

  it("for the flow coefficient is that of a full bore: Crane TP-410, DN 32, K = 3 f_T = 0.063, Kv 163", () => {
    const { dossier } = filled("valve:\n  bore: 32 mm\n");
    const declared = valueAt(dossier, "valve.flow_coefficient");
    expect(declared?.text).toMatch(/^\{ nominal: 163(\.\d+)? Kv/);
  });

  it("for the flow coefficient is the end of a declared characteristic, if there is one", () => {
    const { dossier } = filled(
      "valve:\n  bore: 32 mm\n  characteristic:\n    - { angle: 10 deg, flow_coefficient: 0 Kv }\n    - { angle: 90 deg, flow_coefficient: 140 Kv }\n",
    );
    expect(valueAt(dossier, "valve.flow_coefficient")?.text).toBe("140 Kv");
  });

  it("leaves a declared curve as it is: its factor is 1 without spread", () => {
    const text =
      "valve:\n  hydrodynamic:\n    curve:\n      - { angle: 0 deg, coefficient: 0 }\n      - { angle: 90 deg, coefficient: 0.1 }\n";
    expect(valueAt(filled(text).dossier, "valve.hydrodynamic.scale")).toMatchObject({
      value: 1,
      law: { kind: "exact" },
    });
    expect(valueAt(filled("name: Petrel\n").dossier, "valve.hydrodynamic.scale")?.law.kind).toBe(
      "triangular",
    );
  });

  it("keeps the table as one list with whole rows", () => {
    const { dossier } = filled("name: Petrel\n");
    expect(dossier.valve.valve?.recovery).toHaveLength(8);
    expect(dossier.valve.valve?.recovery?.at(-1)?.factor).toMatchObject({
      value: 0.57,
      law: { kind: "uniform" },
    });
  });
});

describe("data of defaults and friction pairs", () => {
  const read = (folder: string) => {
    const url = new URL(`../../data/${folder}/`, import.meta.url);
    return readdirSync(url).map((name) => {
      const data: unknown = JSON.parse(readFileSync(new URL(name, url), "utf8"));
      return { name, data };
    });
  };

  it.each(read("defaults"))("defaults/$name names a field, a reason and where it is from", ({ data }) => {
    const rows = hasRows(data) ? data.defaults : [data];
    const paths = describeSchema().map(({ path }) => path);
    for (const row of rows) {
      expect(row).toMatchObject({
        reason: expect.any(String),
        from: expect.stringMatching(/^(memory|looked up|estimate|computed)$/),
      });
      expect(paths).toContain(Reflect.get(Object(row), "field"));
    }
  });

  it.each(read("friction"))("friction/$name is known to the reader and ordered", ({ data }) => {
    expect(data).toMatchObject({ format: "friction-pair/1", law: "uniform" });
    const id: unknown = Reflect.get(Object(data), "id");
    const { faults } = readValve(`valve:\n  seat: { material: "${String(id)}" }\n`);
    expect(faults).toEqual([]);
    const { dossier } = filled(`valve:\n  seat: { material: "${String(id)}" }\n`);
    for (const field of ["friction", "friction_cold_ratio", "breakaway_ratio"]) {
      const law = valueAt(dossier, `valve.seat.${field}`)?.law;
      expect(law?.kind === "uniform" && law.low < law.high).toBe(true);
    }
  });
});

function hasRows(data: unknown): data is { readonly defaults: readonly unknown[] } {
  return typeof data === "object" && data !== null && "defaults" in data;
}
