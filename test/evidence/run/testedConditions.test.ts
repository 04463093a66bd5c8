import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { applyDefaults, valueAt } from "../../../src/dossier/index.js";
import {
  atTestedConditions,
  type ChannelLog,
  type RoleId,
  readMapping,
  readRun,
  runText,
  sealPrediction,
  withSealedValues,
} from "../../../src/evidence/index.js";
import { Refusal } from "../../../src/fault/index.js";
import { nominalOf, planFor, predict, runBlock } from "../../../src/predict/index.js";
import { petrel } from "../reconcile/bench.js";

const sha256 = (text: string) => createHash("sha256").update(text, "utf8").digest("hex");

/** A log of two seconds at rest. */
function logOf(channels: readonly (readonly [RoleId, number, number?])[]): ChannelLog {
  const time_s = Float64Array.from({ length: 200 }, (_, i) => i / 100);
  return {
    time_s,
    channels: channels.map(([role, value, standardUncertainty]) => ({
      role,
      values: time_s.map(() => value),
      ...(standardUncertainty === undefined ? {} : { standardUncertainty }),
    })),
  };
}

const caseId = "nitrogen-pressurised";
const { dossier } = applyDefaults(petrel(), caseId);
const at = (
  log: ChannelLog,
  stated: Readonly<Record<string, string>> = {},
  sense: "opening" | "closing" = "opening",
) => atTestedConditions(dossier, caseId, { log, events: [], sense, stated });
const opening = (of: typeof dossier) => {
  const plan = planFor(of, caseId);
  return nominalOf(plan, "command-to-end").opening?.times_s["command-to-end"] ?? Number.NaN;
};

describe("conditions as tested", () => {
  it("more voltage opens sooner, less voltage later, and by about as much as the voltage is higher", () => {
    const volts = valueAt(dossier, "drive.supply.open_circuit_voltage")?.value ?? Number.NaN;
    const declared = opening(dossier);
    const higher = opening(at(logOf([["supply_voltage", 1.05 * volts]])).dossier);
    const lower = opening(at(logOf([["supply_voltage", 0.95 * volts]])).dossier);
    expect(higher).toBeLessThan(declared);
    expect(lower).toBeGreaterThan(declared);
    // A motor that runs near its no-load speed takes a time inverse to its voltage; load and start-up alter that.
    expect(declared / higher - 1).toBeGreaterThan(0.02);
    expect(declared / higher - 1).toBeLessThan(0.1);
  });

  it("the declared value as a reading changes nothing", () => {
    const volts = valueAt(dossier, "drive.supply.open_circuit_voltage")?.value ?? Number.NaN;
    expect(opening(at(logOf([["supply_voltage", volts]])).dossier)).toBe(opening(dossier));
  });

  it("more pressure behind the shut valve opens later: the seat is pressed harder", () => {
    const less = opening(at(logOf([["pressure_upstream", 20e5]])).dossier);
    const more = opening(at(logOf([["pressure_upstream", 34e5]])).dossier);
    expect(more).toBeGreaterThan(less);
  });

  it("keeps the declared spread where the sensor's uncertainty is not known, and takes the sensor's where it is", () => {
    const path = "cases[4].supply_pressure";
    const known = at(logOf([["pressure_upstream", 27e5, 4000]]));
    expect(valueAt(known.dossier, path)?.law).toMatchObject({ kind: "normal", mean: 27e5, deviation: 4000 });
    expect(known.conditions[0]).toMatchObject({ path, tested: 27e5, keepsSpread: false });
    const unknown = at(logOf([["pressure_upstream", 27e5]]));
    expect(valueAt(unknown.dossier, path)?.law).toMatchObject({
      kind: "normal",
      mean: 27e5,
      deviation: 0.3e5,
    });
    expect(unknown.conditions[0]).toMatchObject({ declared: 28e5, keepsSpread: true });
  });

  it("of a closing the pressure upstream is that of a running line, and is not taken", () => {
    expect(at(logOf([["pressure_upstream", 25e5]]), {}, "closing").conditions).toEqual([]);
  });

  it("a supply that is switched on with the command is not read at rest", () => {
    const log = logOf([["supply_voltage", 0.2]]);
    log.channels[0]?.values.fill(28, 100);
    expect(at(log).conditions).toEqual([]);
  });

  it("what run.yaml states goes before the log, and a gauge pressure counts from the ambient", () => {
    const { conditions } = at(logOf([["pressure_upstream", 20e5]]), {
      supply_pressure: "27 bar(g) +/- 0.1 bar",
    });
    expect(conditions).toHaveLength(1);
    expect(conditions[0]).toMatchObject({ from: "run.yaml", keepsSpread: false });
    const ambient = dossier.valve.duty?.ambient_pressure?.value ?? 101_325;
    expect(conditions[0]?.tested).toBeCloseTo(27e5 + ambient, 3);
  });

  it("refuses what is no condition of the case", () => {
    for (const field of ["valve.bore", "cases[0].supply_pressure", "duty.supply_pressure"])
      expect(() => at(logOf([]), { [field]: "3 bar(a)" })).toThrow(Refusal);
  });

  it("run.yaml keeps stated conditions", () => {
    const record = readRun(
      runText({
        id: "a",
        case: caseId,
        imported: "2031-04-18T10:00:00Z",
        original: { file: "a.csv", sha256: "0".repeat(64), bytes: 1 },
        mapping: readMapping(
          {
            dialect: { delimiter: "comma", decimal: "point" },
            time: { kind: "elapsed", column: { name: "t", index: 1 }, unit: "s", because: "by hand" },
            channels: [],
          },
          "mapping",
        ),
        moves: [],
        conditions: { supply_pressure: "27.4 bar(a)" },
      }),
      "run.yaml",
    );
    expect(record.conditions).toEqual({ supply_pressure: "27.4 bar(a)" });
  });
});

describe("sealed values", () => {
  it("stand in a file again that was changed since: the sealed time comes out", async () => {
    const prediction = await predict(
      dossier,
      caseId,
      { seed: 1, samples: 64, effectSamples: 0 },
      async (plan, blocks) => blocks.map((block) => runBlock(plan, block)),
    );
    const seal = sealPrediction(prediction, "2031-04-01T08:00:00Z", [], sha256);
    const path = "valve.seat.friction";
    const other = applyDefaults(
      petrel({ "friction: { value: 0.075 +/- 0.028": "friction: { value: 0.2 +/- 0.01" }),
      caseId,
    ).dossier;
    expect(opening(other)).not.toBe(opening(dossier));
    const back = withSealedValues(other, seal, [path]);
    expect(back === undefined ? undefined : opening(back)).toBe(opening(dossier));
    expect(withSealedValues(other, seal, ["valve.not_sealed"])).toBeUndefined();
  });
});
