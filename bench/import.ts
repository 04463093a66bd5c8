/**
 * Import of a large text log against the embedded database's own speed: the same file, of 2,000,000 rows
 * of 12 columns, read by the database alone with every type told and written as Parquet of the same
 * compression, and by the import, with SHA-256, a look at the sample, a proposed mapping, channels in SI,
 * checked times and the faults of cells and rows.
 *
 * By the clock, with all threads, in pairs one after the other, the order turned from pair to pair; the
 * median of the pairs. COLDTURN_BENCH_ROWS=600000 measures another length.
 */
import { mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { DuckDBInstance } from "@duckdb/node-api";
import { hashFile, openLog } from "../src/host/index.js";
import { median } from "../src/numerics/index.js";
import type { Bench, Measured } from "./bench.js";

const rows = Number(process.env.COLDTURN_BENCH_ROWS ?? 2_000_000);
const pairs = 5;
const rate_Hz = 10_000;
const z = "((i * 7919) % 1000) / 1000.0";
/** Columns: name, decimals, and value in row i. */
const columns: readonly (readonly [name: string, decimals: number, value: string])[] = [
  ["t [s]", 4, `i / ${rate_Hz}.0`],
  ["cmd [V]", 0, `CASE WHEN i >= ${rate_Hz} THEN 5.0 ELSE 0.0 END`],
  ["angle [deg]", 5, `least(90, greatest(0, 90 * (i / ${rate_Hz}.0 - 1))) + ${z} / 10`],
  ["current [A]", 5, `CASE WHEN i > ${rate_Hz} AND i < ${2 * rate_Hz} THEN 4 ELSE 0 END + ${z}`],
  ["supply [V]", 4, `24 + ${z}`],
  ["p_up [bar(a)]", 5, `27 + ${z}`],
  ["p_dn [bar(a)]", 5, `1 + ${z}`],
  ["T_fluid [K]", 4, `91 + ${z}`],
  ["T_motor [degC]", 4, `20 + ${z}`],
  ["flow [kg/s]", 6, z],
  ["torque [N m]", 6, `3 * ${z}`],
  ["acc [V]", 6, `${z} - 0.5`],
];

async function alone(query: string): Promise<void> {
  const instance = await DuckDBInstance.create(":memory:");
  const connection = await instance.connect();
  await connection.run(query);
  connection.closeSync();
  instance.closeSync();
}

/** One opening in a log of 12 columns; the noise is a fixed pattern. */
async function writeLog(path: string): Promise<void> {
  const cells = columns.map(
    ([name, decimals, value]) => `CAST(${value} AS DECIMAL(12, ${decimals})) AS "${name}"`,
  );
  await alone(`COPY (SELECT ${cells.join(", ")} FROM range(${rows}) r(i)) TO '${path}' (FORMAT csv, HEADER)`);
}

async function timed(act: () => Promise<void>): Promise<number> {
  const before = performance.now();
  await act();
  return (performance.now() - before) / 1e3;
}

async function byDatabase(path: string, into: string): Promise<void> {
  const types = columns.map(([name]) => `'${name}': 'DOUBLE'`).join(", ");
  const table = `read_csv('${path}', auto_detect = false, header = true, delim = ',', quote = '"', escape = '"', columns = {${types}})`;
  await alone(`COPY (SELECT * FROM ${table}) TO '${into}' (FORMAT parquet, COMPRESSION zstd)`);
}

async function byImport(path: string, folder: string): Promise<number> {
  const hashed = hashFile(path);
  const log = await openLog(path, folder);
  const { head: found } = await log.read(log.inspection.mapping, folder, join(folder, "log.parquet"));
  await hashed;
  return found.rows;
}

const databaseName = "text table to Parquet, the database alone";

/** Bytes a second of both; that of the import by the median ratio of the pairs. */
async function measured(): Promise<{
  readonly database: number;
  readonly import: number;
  readonly read: number;
}> {
  const folder = mkdtempSync(join(tmpdir(), "coldturn-bench-"));
  try {
    const path = join(folder, "log.csv");
    await writeLog(path);
    const { size } = statSync(path);
    const alone_s: number[] = [];
    const ratios: number[] = [];
    let read = 0;
    for (let pair = 0; pair <= pairs; pair++) {
      const reference = () => timed(() => byDatabase(path, join(folder, "alone.parquet")));
      const own = () =>
        timed(async () => {
          read = await byImport(path, folder);
        });
      const isOwnFirst = pair % 2 === 1;
      const early = isOwnFirst ? await own() : 0;
      const a = await reference();
      const b = isOwnFirst ? early : await own();
      // The first pair loads the library and fills the system's store of the file.
      if (pair === 0) continue;
      alone_s.push(a);
      ratios.push(a / b);
    }
    const database = size / median(alone_s);
    return { database, import: database * median(ratios), read };
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
    accuracy: "by the clock; types told, no channels, no checks, no hash",
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
      accuracy: `by the clock, median of ${pairs} pairs; ${found.read} of ${rows} rows read`,
    };
  },
};
