import { cpSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { strokeChannels } from "../../src/evidence/index.js";
import { type Fault, Refusal } from "../../src/fault/index.js";
import { openLog, type ReadLog } from "../../src/host/index.js";
import { inFolder } from "./folder.js";

const logs = fileURLToPath(new URL("../logs/", import.meta.url));

interface Outcome {
  readonly read?: ReadLog;
  readonly faults?: readonly Fault[];
  readonly table?: Readonly<Record<string, readonly number[]>>;
}

/** Reads a log as proposed, in memory or by the database. */
async function readBy(path: string, folder: string, smallText: number): Promise<Outcome> {
  try {
    const open = await openLog(path, folder, { smallText });
    const into = join(folder, `${smallText}.parquet`);
    const read = await open.read(open.inspection.mapping, folder, into);
    return { read };
  } catch (thrown) {
    if (thrown instanceof Refusal) return { faults: thrown.faults };
    throw thrown;
  }
}

/** Reads a log both ways; what both say of it must be the same. */
async function bothWays(path: string, folder: string): Promise<readonly [Outcome, Outcome]> {
  return [await readBy(path, folder, Number.POSITIVE_INFINITY), await readBy(path, folder, 0)];
}

/** A log in the words that both ways share. */
function sayings({ read, faults }: Outcome) {
  if (read === undefined) return { faults: faults?.map(({ code, found }) => [code, found]) };
  const { head, channels, doubts } = read;
  return {
    doubts,
    rows: head.rows,
    time: head.time,
    names: head.names,
    notices: head.notices.map(({ code, text }) => `${code}: ${text}`).sort(),
    time_s: [...channels.time_s],
    values: channels.channels
      .filter(({ role }) => role !== "other")
      .map(({ role, values, standardUncertainty }) =>
        [role, standardUncertainty, ...values].map((v) => (v === 0 ? 0 : v)),
      ),
  };
}

describe("a log reads the same in memory and by the database:", () => {
  const names = readdirSync(logs).filter((name) => name !== "junk.bin");
  it.each(names)("%s", async (name) => {
    await inFolder(async (folder) => {
      const path = join(folder, name);
      cpSync(join(logs, name), path);
      const [memory, database] = await bothWays(path, folder);
      expect(sayings(database)).toEqual(sayings(memory));
    });
  });

  it("an encoder that passes 360 deg, with its jump taken off", async () => {
    await inFolder(async (folder) => {
      const path = join(folder, "encoder.csv");
      const angle = (i: number) => (300 + Math.min(90, Math.max(0, i - 50))) % 360;
      const rows = Array.from({ length: 300 }, (_, i) => `${i / 1000},${i < 40 ? 0 : 1},${angle(i)}`);
      writeFileSync(path, `t [s],command,angle [deg]\n${rows.join("\n")}\n`);
      const [memory, database] = await bothWays(path, folder);
      expect(sayings(database)).toEqual(sayings(memory));
      for (const { read } of [memory, database]) {
        const found = strokeChannels(read?.channels ?? { time_s: new Float64Array(), channels: [] });
        expect(found.angleJumps).toBe(1);
        expect(found.angle_rad.at(-1)).toBeCloseTo((390 * Math.PI) / 180, 9);
      }
    });
  });
});
