/**
 * Import of a large text log against the embedded database's own speed: the same file read by the
 * database alone, its guesses and all, into a Parquet file, and by the import, with SHA-256, channels in
 * SI, checked times and the faults of cells and rows.
 *
 * Both are measured by the processor time of this process, all its threads together: other work on the
 * machine weighs less on it than on the clock. 600,000 rows of 12 columns; the whole budget's 2,000,000
 * rows with COLDTURN_BENCH_ROWS=2000000.
 */
import { closeSync, mkdtempSync, openSync, rmSync, statSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { DuckDBInstance } from "@duckdb/node-api";
import { hashFile, openLog } from "../src/host/index.js";
import { median } from "../src/numerics/index.js";
import type { Bench, Measured } from "./bench.js";

const rows = Number(process.env.COLDTURN_BENCH_ROWS ?? 600_000);
const rounds = 3;
const rate_Hz = 10_000;
const head =
  "t [s],cmd [V],angle [deg],current [A],supply [V],p_up [bar(a)],p_dn [bar(a)],T_fluid [K],T_motor [degC],flow [kg/s],torque [N m],acc [V]";

/** One opening in a log of 12 columns; the noise is a fixed pattern. */
function writeLog(path: string): void {
  const file = openSync(path, "w");
  let text = `${head}\n`;
  for (let i = 0; i < rows; i++) {
    const t = i / rate_Hz;
    const z = ((i * 7919) % 1000) / 1e3;
    const angle = Math.min(90, Math.max(0, 90 * (t - 1)));
    const current = (t > 1 && t < 2 ? 4 : 0) + z;
    const cells = [
      ...[t.toFixed(4), t >= 1 ? "5" : "0", (angle + z / 10).toFixed(5), current.toFixed(5)],
      ...[(24 + z).toFixed(4), (27 + z).toFixed(5), (1 + z).toFixed(5), (91 + z).toFixed(4)],
      ...[(20 + z).toFixed(4), z.toFixed(6), (3 * z).toFixed(6), (z - 0.5).toFixed(6)],
    ];
    text += `${cells.join(",")}\n`;
    if (text.length < 1e6) continue;
    writeSync(file, text);
    text = "";
  }
  writeSync(file, text);
  closeSync(file);
}

function processorTime(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
}

async function timed(act: () => Promise<void>): Promise<number> {
  const before = processorTime();
  await act();
  return processorTime() - before;
}

async function byDatabase(path: string, into: string): Promise<void> {
  const instance = await DuckDBInstance.create(":memory:");
  const connection = await instance.connect();
  await connection.run(`COPY (SELECT * FROM read_csv('${path}')) TO '${into}' (FORMAT parquet)`);
  connection.closeSync();
  instance.closeSync();
}

async function byImport(path: string, folder: string): Promise<number> {
  const hashed = hashFile(path);
  const log = await openLog(path, folder);
  const { head: found } = await log.read(log.inspection.mapping, folder, join(folder, "log.parquet"));
  await hashed;
  return found.rows;
}

const databaseName = "text table to Parquet, the database alone";

/** Bytes a second of both, one after the other in each round. */
async function measured(): Promise<{
  readonly database: number;
  readonly import: number;
  readonly read: number;
}> {
  const folder = mkdtempSync(join(tmpdir(), "coldturn-bench-"));
  try {
    const path = join(folder, "log.csv");
    writeLog(path);
    const { size } = statSync(path);
    const alone: number[] = [];
    const imported: number[] = [];
    let read = 0;
    for (let round = 0; round <= rounds; round++) {
      const a = await timed(() => byDatabase(path, join(folder, "alone.parquet")));
      const b = await timed(async () => {
        read = await byImport(path, folder);
      });
      // The first round loads the library and fills the system's store of the file.
      if (round === 0) continue;
      alone.push(size / a);
      imported.push(size / b);
    }
    return { database: median(alone), import: median(imported), read };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

let last: Promise<Awaited<ReturnType<typeof measured>>> | undefined;
const once = () => {
  last ??= measured();
  return last;
};

export const databaseAlone: Bench = {
  name: databaseName,
  budget: { kind: "none" },
  run: async (): Promise<Measured> => ({
    value: (await once()).database,
    unit: "B/s",
    accuracy: "of processor time; no channels, no checks, no hash",
  }),
};

export const importOfLog: Bench = {
  name: "import of a text log, hashing included",
  budget: { kind: "ratio at least", value: 0.85, reference: databaseName },
  run: async (): Promise<Measured> => {
    const found = await once();
    return {
      value: found.import,
      unit: "B/s",
      accuracy: `of processor time; ${found.read} of ${rows} rows read`,
    };
  },
};
