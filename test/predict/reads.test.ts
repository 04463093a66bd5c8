/** What an edit leaves standing: it must be what working everything out again gives. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { applyDefaults, changedDossier, type Dossier, readDossier } from "../../src/dossier/index.js";
import { OwnAnswers, OwnMemory, predict, Reads, runBlock } from "../../src/predict/index.js";
import { root } from "../project/files.js";

const text = readFileSync(join(root, "demo", "petrel-oxygen-main", "valve.yaml"), "utf8");
const { dossier: given } = readDossier({ valve: { path: "valve.yaml", text } });
const filled = applyDefaults(given).dossier;
const options = { seed: 1, samples: 0, effectSamples: 0 };

function withText(path: string, written: string): Dossier {
  const changed = changedDossier(given, path, written);
  if (changed === undefined) throw new Error(`${path} cannot be changed without reading the file`);
  return applyDefaults(changed).dossier;
}

describe("what an answer read", () => {
  it("holds for a change elsewhere, and not for one of a value, of a list's length or of a fault", () => {
    const reads = new Reads(filled);
    const { valve, drive } = reads.dossier.valve;
    expect(valve?.seat?.friction?.value).toBe(filled.valve.valve?.seat?.friction?.value);
    expect(drive?.stages?.map(({ ratio }) => ratio?.value)).toEqual(
      filled.valve.drive?.stages?.map(({ ratio }) => ratio?.value),
    );
    expect(reads.hold(filled)).toBe(true);
    expect(reads.hold(withText("valve.packing.torque", "1.11 N m"))).toBe(true);
    expect(reads.hold(withText("valve.seat.friction", "0.111"))).toBe(false);
    const fewer = { ...filled.valve.drive, stages: filled.valve.drive?.stages?.slice(1) ?? [] };
    expect(reads.hold({ ...filled, valve: { ...filled.valve, drive: fewer } })).toBe(false);
    expect(reads.hold({ ...filled, faulty: new Set(["valve.bore"]) })).toBe(false);
  });

  it("notes a field that was looked for and is not there", () => {
    const { friction, ...rest } = filled.valve.valve?.seat ?? {};
    const without = { ...filled, valve: { ...filled.valve, valve: { ...filled.valve.valve, seat: rest } } };
    const reads = new Reads(without as Dossier);
    expect(friction).toBeDefined();
    expect(reads.dossier.valve.valve?.seat?.friction).toBeUndefined();
    expect(reads.hold(filled)).toBe(false);
  });
});

const names = [
  "cold",
  "coolDown",
  "heat",
  "trapped",
  "boundary",
  "oxygen",
  "holding",
  "shock",
  "strength",
  "surge",
] as const;

describe("the memory of own answers", () => {
  // One field of each matter, and one that moves nearly all of them.
  it.each([
    ["valve.seat.friction", "0.111 +/- 0.01"],
    ["valve.cavity.heat_leak", "31 W"],
    ["drive.supply.resistance", "0.123 ohm"],
    ["valve.cold.bolts.preload", "12.3 kN"],
    ["duty.supply_pressure", "61 bar(a)"],
    ["line.downstream.drop", "6.7 bar"],
  ])("after a change of %s gives what working it out again gives", (path, written) => {
    const memory = new OwnMemory();
    const before = new OwnAnswers(filled, "duty", options, memory);
    const first = names.map((name) => before[name]);
    const changed = withText(path, written);
    const fresh = new OwnAnswers(changed, "duty", options);
    const kept = new OwnAnswers(changed, "duty", options, memory);
    const stood = names.filter((name, at) => kept[name] === first[at]);
    expect(stood.length).toBeGreaterThan(0);
    expect(stood.length).toBeLessThan(names.length);
    for (const name of names) expect(JSON.stringify(kept[name]), name).toBe(JSON.stringify(fresh[name]));
  });

  it("another wanted probability has other bands", () => {
    const memory = new OwnMemory();
    const sampling = { seed: 1, samples: 200 };
    const first = new OwnAnswers(filled, "duty", sampling, memory).cold;
    const wanted = withText("duty.probability", "0.9");
    expect(new OwnAnswers(filled, "duty", sampling, memory).cold).toBe(first);
    expect(new OwnAnswers(wanted, "duty", sampling, memory).cold).not.toBe(first);
  });

  it("a breath that throws ends a small band", () => {
    let breaths = 0;
    const breath = () => {
      if (++breaths === 5) throw new Error("of no use any more");
    };
    const own = new OwnAnswers(filled, "duty", { seed: 1, samples: 96, breath });
    expect(() => own.cold).toThrow("of no use any more");
    expect(breaths).toBe(5);
  });
});

it("a prediction from a dossier whose reading is noted has the same bits", async () => {
  const run: Parameters<typeof predict>[3] = async (plan, blocks) => blocks.map((one) => runBlock(plan, one));
  const sized = { ...options, samples: 40 };
  const plain = await predict(filled, "duty", sized, run);
  const noted = await predict(new Reads(filled).dossier, "duty", sized, run);
  expect(JSON.stringify(noted.band)).toBe(JSON.stringify(plain.band));
  expect(JSON.stringify(noted.nominal)).toBe(JSON.stringify(plain.nominal));
});
