import { describe, expect, it } from "vitest";
import { mapKey, withCorrections } from "../../src/cli/mapOption.js";
import { type Mapping, readMapping } from "../../src/evidence/index.js";
import { refusalOf } from "../host/refusal.js";

const mapping: Mapping = readMapping({
  dialect: { delimiter: "comma", decimal: "point" },
  time: { kind: "elapsed", column: { name: "t", index: 1 } },
  channels: [
    { role: "angle", column: { name: "Pos", index: 2 }, unit: "deg", sign: 1, because: "its name" },
    { role: "other", column: { name: "I_mot", index: 3 }, unit: "A", sign: 1 },
  ],
});
const channel = (corrected: Mapping, role: string) => corrected.channels.find((one) => one.role === role);

describe("--map", () => {
  it("sets parts of the time, of the dialect and of a channel, by role or by place", () => {
    const corrected = withCorrections(mapping, [
      "time.unit = ms",
      "dialect.decimal=comma",
      "angle.sign=-1",
      "angle.zero=90 deg",
      "mapping.channels[1].unit=mA",
      "ambient_pressure=1.013 bar(a)",
    ]);
    expect(corrected.time).toMatchObject({ unit: "ms" });
    expect(corrected.dialect.decimal).toBe("comma");
    expect(channel(corrected, "angle")).toMatchObject({ sign: -1, zero: "90 deg" });
    expect(corrected.channels[1]?.unit).toBe("mA");
    expect(corrected.ambient_pressure).toBe("1.013 bar(a)");
  });

  it("gives a role to a column by name or by number, and takes it from the one that had it", () => {
    expect(channel(withCorrections(mapping, ["motor_current=I_mot"]), "motor_current")).toMatchObject({
      column: { name: "I_mot" },
      unit: "A",
    });
    const turned = withCorrections(mapping, ["angle=3", "angle.unit=rad"]);
    expect(channel(turned, "angle")).toMatchObject({ column: { index: 3 }, unit: "rad" });
    expect(channel(turned, "other")).toMatchObject({ column: { name: "Pos" } });
    expect(channel(withCorrections(mapping, ["flow=Q", "flow.unit=kg/s"]), "flow")).toMatchObject({
      unit: "kg/s",
    });
  });

  it("takes a role away, a unit away, and gives a scale", () => {
    expect(channel(withCorrections(mapping, ["angle=none"]), "angle")).toBeUndefined();
    expect(channel(withCorrections(mapping, ["angle.unit=none"]), "angle")).not.toHaveProperty("unit");
    expect(
      channel(withCorrections(mapping, ["angle.unit=V", "angle.scale=0.5: 0 deg, 4.5: 90 deg"]), "angle")
        ?.scale,
    ).toEqual([
      { reading: 0.5, value: "0 deg" },
      { reading: 4.5, value: "90 deg" },
    ]);
  });

  it("leaves a mapping without corrections as it is", () => {
    expect(withCorrections(mapping, [])).toBe(mapping);
  });

  it.each([
    ["angle", "map-form"],
    ["angel.unit=deg", "map-key"],
    ["channels[7].unit=A", "map-key"],
    ["time=ms", "map-key"],
    ["flow.unit=kg/s", "map-role"],
    ["angle.sign=2", "mapping-wrong-kind"],
    ["angle.sgn=-1", "mapping-key-unknown"],
    ["dialect.decimal=dot", "mapping-word-unknown"],
    ["angle.scale=1:0 deg", "mapping-wrong-kind"],
    ["angle.gauge=perhaps", "mapping-wrong-kind"],
  ])("%s is refused as %s", async (correction, code) => {
    expect((await refusalOf(() => withCorrections(mapping, [correction]))).code).toBe(code);
  });

  it("a field of the mapping has its key", () => {
    expect(mapKey("mapping.channels[0].unit", mapping)).toBe("angle.unit");
    expect(mapKey("mapping.channels[0].column.name", mapping)).toBe("angle");
    expect(mapKey("mapping.channels[1].unit", mapping)).toBe("channels[1].unit");
    expect(mapKey("mapping.time.rate", mapping)).toBe("time.rate");
    expect(mapKey("duty.fluid", mapping)).toBeUndefined();
  });
});
