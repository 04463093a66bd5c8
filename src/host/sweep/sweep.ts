/**
 * Ordering a sweep: its blocks are queued, workers on any host take them, and here their results are waited
 * for. The same order is the same sweep: ordered again, after an interruption or by somebody else, it goes
 * on from what is there.
 */
import { setTimeout as after } from "node:timers/promises";
import type PgBoss from "pg-boss";
import { type Fault, nearName, Refusal } from "../../fault/index.js";
import { modelVersion } from "../../predict/index.js";
import { elapsedSeconds } from "../clock.js";
import { sha256 } from "../hash.js";
import { poolFor, requireAnswer } from "../postgres/connect.js";
import type { Progress } from "../workers.js";
import { arithmeticMark } from "./arithmetic.js";
import { type Contact, PersistentDatabase } from "./persistent.js";
import { jobId, jobsAtOnce, mostTries, queueName, startQueue } from "./queue.js";
import { sweepSchema } from "./tables.js";

/** What is ordered; order and blocks are plain data. */
export interface SweepOrder {
  readonly kind: string;
  /** For people: which valve, which case. */
  readonly title: string;
  readonly order: unknown;
  readonly blocks: readonly unknown[];
}

export interface SweepOptions {
  readonly signal: AbortSignal;
  readonly onProgress?: (progress: Progress) => void;
  readonly onContact?: (contact: Contact) => void;
  /** Told once where no worker has taken up the work after a while. */
  readonly onNobody?: () => void;
  /** A worker that has not answered for a block after this is taken for dead [s]. */
  readonly patience_s?: number;
}

/** Several times the longest block: a slow worker is not taken for a dead one. */
const usualPatience_s = 120;
/** Pauses between looks at the results [ms]. */
const shortestLook = 50;
const longestLook = 1_000;
/** Nobody has taken up the work after this [s]. */
const nobodyAfter_s = 10;
/** Results fetched at once. */
const resultsAtOnce = 200;

/** Acts on the sweeps of a database. Refuses one that cannot be used; later on it is waited for. */
export async function onSweeps<T>(
  address: string,
  { signal, onContact }: Pick<SweepOptions, "signal" | "onContact">,
  act: (data: PersistentDatabase, boss: PgBoss) => Promise<T>,
): Promise<T> {
  const database = poolFor(address, { patience_s: queryPatience_s });
  try {
    await requireAnswer(database);
    const data = new PersistentDatabase(database, signal, onContact);
    const boss = await startQueue(data, { isSupervisor: false });
    try {
      return await act(data, boss);
    } finally {
      await boss.stop({ graceful: false, close: false });
    }
  } finally {
    await database.end();
  }
}

/** A query without an answer after this was lost with its connection [s]. */
export const queryPatience_s = 10;

/** Id of a sweep: the same for the same order, model and arithmetic. */
function idOf({ kind, order, blocks }: SweepOrder): string {
  return sha256(JSON.stringify([kind, modelVersion, arithmeticMark(), order, blocks])).slice(0, 16);
}

/**
 * Runs a sweep on whatever workers there are.
 * @returns  the results of its blocks, in their order, as JSON texts
 * Refuses   what a block was refused for, a sweep that was cancelled, a block that no worker survives
 */
export async function runSweep(
  address: string,
  order: SweepOrder,
  options: SweepOptions,
): Promise<readonly string[]> {
  return await onSweeps(address, options, async (data, boss) => {
    const id = idOf(order);
    await enter(data, id, order, options.patience_s ?? usualPatience_s);
    await queueBlocks(data, boss, id);
    try {
      await wait(data, boss, id, order, options);
    } catch (thrown) {
      // Without an answer to wait for, the rest of the blocks is of no use.
      if (thrown instanceof Refusal) await dropJobs(data, boss, id);
      throw thrown;
    }
    return await resultsOf(data, id);
  });
}

async function enter(
  data: PersistentDatabase,
  id: string,
  order: SweepOrder,
  patience_s: number,
): Promise<void> {
  const { kind, title, blocks } = order;
  await data.query(
    `insert into ${sweepSchema}.sweep (id, kind, model, arithmetic, title, task, blocks, patience_s)
     values ($1, $2, $3, $4, $5, $6, $7, $8)
     on conflict (id) do update set cancelled = null, patience_s = $8`,
    [
      ...[id, kind, modelVersion, arithmeticMark(), title, JSON.stringify(order.order)],
      ...[blocks.length, patience_s],
    ],
  );
  // Bit by bit, each one quickly answered: a query that takes long counts as lost.
  for (let from = 0; from < blocks.length; from += jobsAtOnce) {
    const texts = blocks.slice(from, from + jobsAtOnce).map((block) => JSON.stringify(block));
    await data.query(
      `insert into ${sweepSchema}.block (sweep, number, task)
       select $1, $2 + place - 1, task from unnest($3::text[]) with ordinality as t(task, place) on conflict do nothing`,
      [id, from, texts],
    );
  }
}

/** Queues every block of a sweep that has no result; what is queued already stays as it is. */
export async function queueBlocks(data: PersistentDatabase, boss: PgBoss, id: string): Promise<void> {
  const { rows } = await data.query<{ kind: string; model: string; arithmetic: string; patience_s: number }>(
    `select kind, model, arithmetic, patience_s from ${sweepSchema}.sweep where id = $1`,
    [id],
  );
  const [sweep] = rows;
  if (sweep === undefined) return await refuseSweep(data, id);
  const name = queueName(sweep.kind, sweep.model, sweep.arithmetic);
  await boss.createQueue(name);
  const missing = await missingBlocks(data, id);
  for (let from = 0; from < missing.length; from += jobsAtOnce) {
    const numbers = missing.slice(from, from + jobsAtOnce);
    const ids = numbers.map((number) => jobId(id, number));
    await boss.insert(
      numbers.map((number) => ({
        id: jobId(id, number),
        name,
        data: { sweep: id, number },
        retryLimit: mostTries,
        expireInSeconds: Math.max(1, Math.round(sweep.patience_s)),
      })),
    );
    // Those that were cancelled or given up before.
    await boss.resume(name, ids);
    await boss.retry(name, ids);
  }
}

/** Takes the blocks of a sweep out of the queue; those that are being worked out are delivered still. */
export async function dropJobs(data: PersistentDatabase, boss: PgBoss, id: string): Promise<void> {
  const { rows } = await data.query<{ kind: string; model: string; arithmetic: string; blocks: number }>(
    `select kind, model, arithmetic, blocks from ${sweepSchema}.sweep where id = $1`,
    [id],
  );
  const [sweep] = rows;
  if (sweep === undefined) return await refuseSweep(data, id);
  const name = queueName(sweep.kind, sweep.model, sweep.arithmetic);
  const ids = Array.from({ length: sweep.blocks }, (_, number) => jobId(id, number));
  for (let from = 0; from < ids.length; from += jobsAtOnce)
    await boss.cancel(name, ids.slice(from, from + jobsAtOnce));
}

async function missingBlocks(data: PersistentDatabase, id: string): Promise<readonly number[]> {
  const { rows } = await data.query<{ number: number }>(
    `select number from ${sweepSchema}.block b where sweep = $1
       and not exists (select from ${sweepSchema}.result r where r.sweep = b.sweep and r.number = b.number)
     order by number`,
    [id],
  );
  return rows.map(({ number }) => number);
}

async function wait(
  data: PersistentDatabase,
  boss: PgBoss,
  id: string,
  order: SweepOrder,
  { signal, onProgress, onNobody, patience_s = usualPatience_s }: SweepOptions,
): Promise<void> {
  const total = order.blocks.length;
  const started = elapsedSeconds();
  let first: number | undefined;
  let last = 0;
  let moved = started;
  let isToldNobody = false;
  for (let pause = shortestLook; ; pause = Math.min(1.3 * pause, longestLook)) {
    const { done, isCancelled, refused, doubts } = await standing(data, id);
    if (refused !== undefined) throw new Refusal(faultsIn(refused));
    if (doubts > 0) await refuseDoubt(data, id);
    if (isCancelled) refuseCancelled(data.database.address, id);
    const now = elapsedSeconds();
    first ??= done;
    if (done > last) {
      last = done;
      moved = now;
      pause = shortestLook;
    }
    const own = done - first;
    onProgress?.({
      done,
      total,
      secondsLeft: own > 0 ? ((now - started) * (total - done)) / own : Number.POSITIVE_INFINITY,
    });
    if (done >= total) return;
    if (own === 0 && now - started > nobodyAfter_s && !isToldNobody) {
      isToldNobody = true;
      onNobody?.();
    }
    if (now - moved > patience_s) {
      moved = now;
      await requireHope(data, boss, id, order);
    }
    await after(pause, undefined, { signal });
  }
}

interface Standing {
  readonly done: number;
  readonly isCancelled: boolean;
  /** Faults of a block, as JSON. */
  readonly refused: string | undefined;
  readonly doubts: number;
}

async function standing(data: PersistentDatabase, id: string): Promise<Standing> {
  const { rows } = await data.query<{
    done: string;
    cancelled: boolean;
    refused: string | null;
    doubts: string;
  }>(
    `select
       (select count(*) from ${sweepSchema}.result where sweep = $1) as done,
       (select count(*) from ${sweepSchema}.doubt where sweep = $1) as doubts,
       (select content from ${sweepSchema}.result where sweep = $1 and is_refused order by number limit 1) as refused,
       (select cancelled is not null from ${sweepSchema}.sweep where id = $1) as cancelled`,
    [id],
  );
  const [row] = rows;
  return {
    done: Number(row?.done ?? 0),
    isCancelled: row?.cancelled ?? true,
    refused: row?.refused ?? undefined,
    doubts: Number(row?.doubts ?? 0),
  };
}

/** The faults that a worker kept: it wrote them as JSON. */
function faultsIn(text: string): readonly Fault[] {
  return JSON.parse(text);
}

/** Refuses a sweep with a block that was begun too often: it may be what kills its workers. */
async function requireHope(
  data: PersistentDatabase,
  boss: PgBoss,
  id: string,
  { kind }: SweepOrder,
): Promise<void> {
  for (const number of await missingBlocks(data, id)) {
    const job = await boss.getJobById(queueName(kind), jobId(id, number));
    if (job?.state !== "failed") continue;
    throw new Refusal([
      {
        code: "sweep-block-lost",
        where: { file: data.database.address },
        found: `block ${String(number)} of sweep ${id} was begun ${String(job.retryCount + 1)} times and never came to an end`,
        allowed: "A block that every worker dies of is given up, so that it does not take all of them.",
        mend: `Look at the workers (memory, time), then try again with \`coldturn sweep resume ${id}\``,
      },
    ]);
  }
}

async function refuseDoubt(data: PersistentDatabase, id: string): Promise<never> {
  const { rows } = await data.query<{ number: number; one: string; other: string }>(
    `select d.number, r.worker as one, d.worker as other from ${sweepSchema}.doubt d
       join ${sweepSchema}.result r using (sweep, number) where sweep = $1 order by d.number limit 1`,
    [id],
  );
  const [first] = rows;
  throw new Refusal([
    {
      code: "sweep-doubt",
      where: { file: data.database.address },
      found: `block ${String(first?.number)} of sweep ${id} gave other bytes on ${String(first?.other)} than on ${String(first?.one)}`,
      allowed: "A block gives the same bytes wherever it is worked out; one of the two is wrong.",
      mend: "Look at the memory and the processor of both, and at what they run; order the sweep again without the wrong one",
    },
  ]);
}

function refuseCancelled(address: string, id: string): never {
  throw new Refusal([
    {
      code: "sweep-cancelled",
      where: { file: address },
      found: `sweep ${id} was cancelled`,
      allowed: "What was worked out until then is kept.",
      mend: `Go on with \`coldturn sweep resume ${id}\`, or give the same order again`,
    },
  ]);
}

/** Refuses a sweep that is not there. */
export async function refuseSweep(data: PersistentDatabase, id: string): Promise<never> {
  const { rows } = await data.query<{ id: string }>(
    `select id from ${sweepSchema}.sweep order by made desc limit 100`,
  );
  const ids = rows.map((row) => row.id);
  const near = nearName(id, ids);
  throw new Refusal([
    {
      code: "sweep-unknown",
      where: { file: data.database.address },
      found: `there is no sweep ${id}`,
      allowed: ids.length === 0 ? "None has been ordered yet." : `The newest is ${String(ids[0])}.`,
      mend: "`coldturn sweep list` shows them",
      ...(near === undefined ? {} : { near }),
    },
  ]);
}

async function resultsOf(data: PersistentDatabase, id: string): Promise<readonly string[]> {
  const texts: string[] = [];
  for (;;) {
    const { rows } = await data.query<{ content: string }>(
      `select content from ${sweepSchema}.result where sweep = $1 and number >= $2 order by number limit $3`,
      [id, texts.length, resultsAtOnce],
    );
    if (rows.length === 0) return texts;
    texts.push(...rows.map(({ content }) => content));
  }
}
