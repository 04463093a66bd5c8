import { describe, expect, it } from "vitest";
import { inspectLog, type Mapping, readLog, readMapping } from "../../../src/evidence/log/index.js";
import { channelOf, refusal, sampleText } from "./samples.js";

const valid = {
  dialect: { delimiter: "semicolon", decimal: "comma", header_line: 4 },
  time: { kind: "elapsed", column: { name: "t", index: 1 }, unit: "ms", declared_rate: "1 kHz" },
  channels: [
    {
      role: "angle",
      column: { name: "pot", index: 2 },
      unit: "V",
      sign: -1,
      scale: [
        { reading: 0.5, value: "0 deg" },
        { reading: 4.5, value: "90 deg" },
      ],
      zero: "90 deg",
      because: "calibrated on the stand",
    },
    { role: "pressure_upstream", column: { name: "p", index: 3 }, unit: "bar", sign: 1, gauge: true },
  ],
  ambient_pressure: "0.95 bar(a)",
};

describe("reading a mapping", () => {
  it("takes back what it was given, through JSON", () => {
    expect(readMapping(JSON.parse(JSON.stringify(valid)))).toEqual(valid);
  });

  it("takes every proposal of the samples", () => {
    for (const name of ["plain.csv", "psi.csv", "iso-stamps.csv", "no-time.csv", "counts.csv"]) {
      const { mapping } = inspectLog(sampleText(name));
      expect(readMapping(JSON.parse(JSON.stringify(mapping)))).toEqual(mapping);
    }
  });

  it("takes a column by its bare name, and sign 1 where none is given", () => {
    const mapping = readMapping({ ...valid, channels: [{ role: "angle", column: "pot", unit: "deg" }] });
    expect(mapping.channels).toEqual([
      { role: "angle", column: { name: "pot", index: 0 }, unit: "deg", sign: 1 },
    ]);
  });

  const channel = valid.channels[0];
  it.each<[string, unknown, string, string, string?]>([
    ["a list", [], "mapping", "mapping-wrong-kind"],
    ["a key with a typing error", { ...valid, chanels: [] }, "mapping", "mapping-key-unknown", "channels"],
    [
      "an unknown delimiter",
      { ...valid, dialect: { delimiter: "comma ", decimal: "point" } },
      "mapping.dialect",
      "mapping-word-unknown",
      "comma",
    ],
    [
      "a header line of 0",
      { ...valid, dialect: { delimiter: "comma", decimal: "point", header_line: 0 } },
      "mapping.dialect",
      "mapping-wrong-kind",
    ],
    [
      "an unknown kind of time",
      { ...valid, time: { kind: "clock" } },
      "mapping.time",
      "mapping-word-unknown",
    ],
    ["a time without column", { ...valid, time: { kind: "stamp" } }, "mapping.time", "mapping-wrong-kind"],
    [
      "a time in bar",
      { ...valid, time: { ...valid.time, unit: "bar" } },
      "mapping.time",
      "unit-wrong-dimension",
    ],
    [
      "an unknown role",
      { ...valid, channels: [{ ...channel, role: "angel" }] },
      "mapping.channels[0]",
      "mapping-word-unknown",
      "angle",
    ],
    [
      "a sign of 2",
      { ...valid, channels: [{ ...channel, sign: 2 }] },
      "mapping.channels[0]",
      "mapping-wrong-kind",
    ],
    [
      "a scale of one point",
      { ...valid, channels: [{ ...channel, scale: [{ reading: 1, value: "0 deg" }] }] },
      "mapping.channels[0]",
      "mapping-wrong-kind",
    ],
    [
      "a scale of one reading",
      { ...valid, channels: [{ ...channel, scale: [channel?.scale?.[0], channel?.scale?.[0]] }] },
      "mapping.channels[0]",
      "mapping-wrong-kind",
    ],
    [
      "a gauge in words",
      { ...valid, channels: [{ ...channel, gauge: "yes" }] },
      "mapping.channels[0]",
      "mapping-wrong-kind",
    ],
    [
      "a role given twice",
      { ...valid, channels: [channel, channel] },
      "mapping.channels",
      "mapping-role-repeated",
    ],
    [
      "an ambient pressure without mark",
      { ...valid, ambient_pressure: "1 bar" },
      "mapping.ambient_pressure",
      "pressure-reference-missing",
    ],
  ])("refuses %s, with its field", (_, data, field, code, near) => {
    const faults = refusal(() => readMapping(data));
    expect(faults.map((fault) => [fault.where.field, fault.code])).toEqual([[field, code]]);
    expect(faults[0]?.near).toBe(near);
  });

  it("says every fault at once", () => {
    const faults = refusal(() =>
      readMapping({
        dialect: {},
        time: { kind: 3 },
        channels: [{ role: "x", column: "a" }, { role: "flow" }],
      }),
    );
    expect(faults.map((fault) => fault.where.field)).toEqual([
      "mapping.dialect",
      "mapping.time",
      "mapping.channels[0]",
      "mapping.channels[1]",
    ]);
  });
});

describe("a channel", () => {
  const text = "t [s],pot [V],p [bar]\n0,0.5,1\n1,2.5,2\n2,4.5,3\n";
  const mapping: Mapping = {
    dialect: { delimiter: "comma", decimal: "point" },
    time: { kind: "elapsed", column: { name: "t", index: 1 }, unit: "s" },
    channels: [],
  };
  const pot = { role: "angle", column: { name: "pot", index: 2 }, unit: "V", sign: 1 } as const;
  const scale = [
    { reading: 0.5, value: "0 deg" },
    { reading: 4.5, value: "90 deg" },
  ] as const;
  const p = { role: "pressure_upstream", column: { name: "p", index: 3 }, unit: "bar", sign: 1 } as const;

  it("is linear through two points", () => {
    const log = readLog(text, { ...mapping, channels: [{ ...pot, scale }] });
    expect(Array.from(channelOf(log, "angle").values)).toEqual([0, Math.PI / 4, Math.PI / 2]);
  });

  it("is sign times value less zero", () => {
    const log = readLog(text, { ...mapping, channels: [{ ...pot, scale, sign: -1, zero: "90 deg" }] });
    expect(Array.from(channelOf(log, "angle").values)).toEqual([Math.PI / 2, Math.PI / 4, -0]);
  });

  it("counts gauge pressure from the ambient pressure that is stated", () => {
    const gauge = { ...mapping, channels: [{ ...p, gauge: true }], ambient_pressure: "0.95 bar(a)" };
    expect(Array.from(channelOf(readLog(text, gauge), "pressure_upstream").values)).toEqual([
      1.95e5, 2.95e5, 3.95e5,
    ]);
    const absolute = { ...mapping, channels: [{ ...p, gauge: false }] };
    expect(Array.from(channelOf(readLog(text, absolute), "pressure_upstream").values)).toEqual([
      1e5, 2e5, 3e5,
    ]);
  });

  it("refuses a scale whose values are no angle", () => {
    const wrong = [
      { reading: 0.5, value: "0 bar" },
      { reading: 4.5, value: "90 bar" },
    ] as const;
    const [fault] = refusal(() => readLog(text, { ...mapping, channels: [{ ...pot, scale: wrong }] }));
    expect(fault).toMatchObject({
      code: "unit-wrong-dimension",
      where: { field: "mapping.channels[0].scale" },
    });
  });
});
