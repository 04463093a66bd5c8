/** The sweeps of a database: listed, cancelled, taken up again. */
import type PgBoss from "pg-boss";
import type { PersistentDatabase } from "./persistent.js";
import { dropJobs, queueBlocks, refuseSweep } from "./sweep.js";
import { sweepSchema } from "./tables.js";

export interface ListedSweep {
  readonly id: string;
  readonly kind: string;
  readonly model: string;
  readonly title: string;
  readonly blocks: number;
  readonly done: number;
  /** Of its blocks so far, summed over the workers [s]. */
  readonly worked_s: number;
  readonly workers: number;
  readonly made: string;
  readonly who: string;
  readonly state: "running" | "done" | "cancelled";
}

interface Row {
  readonly id: string;
  readonly kind: string;
  readonly model: string;
  readonly title: string;
  readonly blocks: number;
  readonly made: Date;
  readonly who: string;
  readonly cancelled: Date | null;
  readonly done: string;
  readonly worked: number;
  readonly workers: string;
}

/** Every sweep, newest first, or one. Refuses one that is not there. */
export async function listSweeps(data: PersistentDatabase, id?: string): Promise<readonly ListedSweep[]> {
  const { rows } = await data.query<Row>(
    `select s.id, s.kind, s.model, s.title, s.blocks, s.made, s.who, s.cancelled,
       count(r.number) as done, coalesce(sum(r.seconds), 0)::float8 as worked, count(distinct r.worker) as workers
     from ${sweepSchema}.sweep s left join ${sweepSchema}.result r on r.sweep = s.id
     where $1::text is null or s.id = $1 group by s.id order by s.made desc, s.id`,
    [id ?? null],
  );
  if (id !== undefined && rows.length === 0) return await refuseSweep(data, id);
  return rows.map(({ made, cancelled, done, worked, workers, ...row }) => ({
    ...row,
    ...{ made: made.toISOString(), done: Number(done), worked_s: worked, workers: Number(workers) },
    state: Number(done) >= row.blocks ? "done" : cancelled === null ? "running" : "cancelled",
  }));
}

/** Cancels a sweep; what is worked out is kept. Refuses one that is not there. */
export async function cancelSweep(data: PersistentDatabase, boss: PgBoss, id: string): Promise<void> {
  await data.query(
    `update ${sweepSchema}.sweep set cancelled = coalesce(cancelled, clock_timestamp()) where id = $1`,
    [id],
  );
  await dropJobs(data, boss, id);
}

/** Takes up a cancelled sweep, or one with blocks that were given up. Refuses one that is not there. */
export async function resumeSweep(data: PersistentDatabase, boss: PgBoss, id: string): Promise<void> {
  await data.query(`update ${sweepSchema}.sweep set cancelled = null where id = $1`, [id]);
  await queueBlocks(data, boss, id);
}
