import { describe, expect, it } from "vitest";
import { stringify } from "yaml";
import {
  isFaulty,
  partsOnFile,
  readDossier,
  valueAt,
  variantText,
  withParts,
} from "../../src/dossier/index.js";
import { petrel } from "../predict/valveFile.js";

const text = stringify(petrel());
const { dossier } = readDossier({ valve: { path: "valve.yaml", text } });
const part = (name: string) => {
  const found = partsOnFile([]).find((each) => each.name === name);
  if (found === undefined) throw new Error(`no part ${name}`);
  return found;
};

describe("a dossier with other parts", () => {
  it("has of a motor what the part gives, and nothing of the one before", () => {
    const changed = withParts(dossier, { motor: part("generic brushed 60 W") });
    expect(valueAt(changed, "drive.motor.resistance")?.value).toBe(1);
    expect(valueAt(changed, "drive.motor.torque_constant_drift")).toBeUndefined();
    expect(valueAt(changed, "drive.supply.resistance")).toBe(valueAt(dossier, "drive.supply.resistance"));
    expect(valueAt(dossier, "drive.motor.resistance")?.value).toBe(2);
  });

  it("keeps the cable of a battery that is exchanged", () => {
    const changed = withParts(dossier, { battery: part("generic lead-acid 24 V 12 Ah") });
    expect(valueAt(changed, "drive.supply.open_circuit_voltage")?.value).toBe(25);
    expect(valueAt(changed, "drive.supply.cable_resistance")?.value).toBe(0.08);
  });

  it("has the seats and packing of the declared valve on another one, scaled to its size", () => {
    const changed = withParts(dossier, { valve: part("generic full-bore DN50") });
    const scale = (valueAt(changed, "valve.seat_contact_diameter")?.value ?? 0) / 0.038;
    // 300 to 700 N on a circle of 38 mm, as much per length.
    const law = valueAt(changed, "valve.seat.preload")?.law;
    expect(law).toMatchObject({
      kind: "uniform",
      low: expect.closeTo(300 * scale, 9),
      high: expect.closeTo(700 * scale, 9),
    });
    const stem = (valueAt(changed, "valve.stem.diameter")?.value ?? 0) / 0.014;
    expect(valueAt(changed, "valve.packing.torque")?.value).toBeCloseTo(1.2 * stem * stem, 12);
    expect(valueAt(changed, "valve.seat.friction")).toBe(valueAt(dossier, "valve.seat.friction"));
    expect(changed.valve.valve?.stem?.sections).toBeUndefined();
  });

  it("drops a dependence of a value that is no more, and keeps one that is", () => {
    const one = withParts(dossier, { stages: [part("generic worm 30:1 one start")] });
    expect(one.valve.correlations).toEqual([]);
    const two = withParts(dossier, {
      stages: [part("generic spur 3:1"), part("generic planetary 10:1 60 mm")],
    });
    expect(two.valve.correlations).toHaveLength(1);
  });

  it("no longer has the faults of a section that is exchanged", () => {
    const faulty = readDossier({
      valve: {
        path: "v",
        text: stringify({ drive: { motor: { resistance: "2 om" }, driver: { dead_time: "soon" } } }),
      },
    }).dossier;
    const changed = withParts(faulty, { motor: part("generic brushed 60 W") });
    expect([isFaulty(faulty, "drive.motor.resistance"), isFaulty(changed, "drive.motor.resistance")]).toEqual(
      [true, false],
    );
    expect(isFaulty(changed, "drive.driver.dead_time")).toBe(true);
  });
});

describe("the text of a changed copy", () => {
  it("keeps comments and everything off the exchanged sections, and reads as the changed dossier", () => {
    const own =
      "# ours\ncoldturn: 1\nduty:\n  dwell: 1 s   # as on the stand\ndrive:\n  motor:\n    resistance: 2 ohm\n  driver: { dead_time: 15 ms }\n";
    const read = readDossier({ valve: { path: "v", text: own } }).dossier;
    const parts = { motor: part("generic brushed 60 W"), stages: [part("generic spur 3:1")] };
    const made = variantText(own, read, parts, "a choice");
    expect(made).toContain("# a choice\n# ours\n");
    expect(made).toContain("dwell: 1 s # as on the stand");
    const { dossier: back, faults } = readDossier({ valve: { path: "v", text: made } });
    expect(faults).toEqual([]);
    for (const path of [
      "drive.motor.resistance",
      "drive.motor.inertia",
      "drive.stages[0].ratio",
      "drive.driver.dead_time",
      "duty.dwell",
    ])
      expect(valueAt(back, path)?.value).toBe(valueAt(withParts(read, parts), path)?.value);
    expect(back.valve.drive?.stages).toHaveLength(1);
  });
});
