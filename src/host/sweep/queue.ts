/** The job queue of the sweeps: pg-boss over queries that outlast the database. */
import PgBoss from "pg-boss";
import { modelVersion } from "../../predict/index.js";
import { sha256 } from "../hash.js";
import { arithmeticMark } from "./arithmetic.js";
import type { PersistentDatabase } from "./persistent.js";
import { queueSchema, requireTables } from "./tables.js";

/** What a job says: everything else stands in the tables of the sweep. */
export interface BlockJob {
  readonly sweep: string;
  readonly number: number;
}

/** A block is begun at most so often before it is given up: it may be what kills its workers. */
export const mostTries = 25;
/** Jobs that are told to the database at once. */
export const jobsAtOnce = 1_000;

/** How often jobs of dead workers are looked for, by one of the workers [s]. */
const usualRounds_s = 3;

/** Starts the queue, and makes its tables where they are missing. */
export async function startQueue(
  data: PersistentDatabase,
  { isSupervisor, rounds_s = usualRounds_s }: { readonly isSupervisor: boolean; readonly rounds_s?: number },
): Promise<PgBoss> {
  await requireTables(data);
  const boss = new PgBoss({
    db: { executeSql: (text, values) => data.query(text, values) },
    schema: queueSchema,
    schedule: false,
    supervise: isSupervisor,
    maintenanceIntervalSeconds: rounds_s,
    // Jobs are small; their results are kept in the tables of the sweep.
    archiveCompletedAfterSeconds: 7 * 24 * 3600,
  });
  // What its rounds meet (the work is being cancelled) is met by the queries of the work itself.
  boss.on("error", () => undefined);
  return await boss.start();
}

/** Results are of one model and one arithmetic: workers of another do not see the queue. */
export function queueName(kind: string, model = modelVersion, arithmetic = arithmeticMark()): string {
  return `${kind}-${sha256(`${model} ${arithmetic}`).slice(0, 12)}`;
}

/** The same block of the same sweep is the same job: queued twice, it is there once. */
export function jobId(sweep: string, number: number): string {
  const hex = sha256(`${sweep} ${String(number)}`);
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20, 32)].join(
    "-",
  );
}
