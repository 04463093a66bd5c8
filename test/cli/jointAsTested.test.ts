/** Several runs together are held at the conditions of their tests, as each is alone. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { inFolder } from "../host/folder.js";
import { at, coldturn, dossierIn, dryLog, recordOf } from "./program.js";

/** A dry log with a battery of so many volts in a column of its own, its sag aside. */
function withSupply(slower: number, volts: number): string {
  const [head = "", ...rows] = dryLog({ slower }).trim().split("\n");
  const lines = rows.map((row, i) => `${row},${(volts + 0.01 * Math.sin(7 * i)).toFixed(3)}`);
  return `${[`${head},supply [V]`, ...lines].join("\n")}\n`;
}

const predictedTogether = (record: unknown, run: number) =>
  Number(at(record, `result.joint.runs.${run}.ledger.predicted_s`));
const predictedAlone = (record: unknown, run: number) =>
  Number(at(record, `result.runs.${run}.reconciliation.ledger.predicted_s`));

describe("runs of two batteries, held together", () => {
  let record: unknown;

  beforeAll(async () => {
    await inFolder(async (folder) => {
      const place = dossierIn(folder);
      const take = async (name: string, text: string, date: string) => {
        const path = join(folder, `${name}.csv`);
        writeFileSync(path, text);
        const words = ["--case", "dry-ambient", "--date", date, "--run", name];
        const { status, stderr } = await coldturn(["import", place, path, ...words]);
        if (status !== 0) throw new Error(stderr);
      };
      await take("full", withSupply(1.02, 25.2), "2031-04-18");
      await take("weak", withSupply(1.15, 22.5), "2031-04-19");
      record = recordOf(await coldturn(["reconcile", place, "--samples", "200", "--json"]));
    });
  }, 300_000);

  it("the ledger of each begins where it begins alone", () => {
    for (const run of [0, 1]) {
      expect(predictedTogether(record, run)).toBeGreaterThan(0);
      expect(predictedTogether(record, run) / predictedAlone(record, run)).toBeCloseTo(1, 6);
    }
  });

  it("the weaker battery predicts a slower opening: the speed without load goes with the voltage", () => {
    const [full, weak] = [predictedTogether(record, 0), predictedTogether(record, 1)];
    // Slower by the ratio of the voltages at least: what the load takes of the speed does not shrink with it.
    expect(weak / full).toBeGreaterThan(1 + 0.9 * (25.2 / 22.5 - 1));
    expect(weak / full).toBeLessThan(1.5);
  });

  it("what was read of a test is not proposed for the valve file", () => {
    const proposals = at(record, "result.joint.proposals");
    if (!Array.isArray(proposals)) throw new Error("no proposals");
    expect(proposals.map((one) => at(one, "path"))).not.toContain("drive.supply.open_circuit_voltage");
  });
});
