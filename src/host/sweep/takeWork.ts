/**
 * A worker: takes blocks from the queues, works them out on its threads and delivers the results. It may be
 * killed at any moment: a block that it does not answer for goes to another one. A database that is away is
 * waited for; what was worked out meanwhile is delivered when it is back.
 */
import { hostname } from "node:os";
import { setTimeout as after } from "node:timers/promises";
import type PgBoss from "pg-boss";
import { modelVersion } from "../../predict/index.js";
import { elapsedSeconds } from "../clock.js";
import { poolFor, requireAnswer } from "../postgres/connect.js";
import { arithmeticMark } from "./arithmetic.js";
import { type Bench, startBench } from "./bench.js";
import { type Contact, PersistentDatabase } from "./persistent.js";
import { type BlockJob, queueName, startQueue } from "./queue.js";
import { queryPatience_s } from "./sweep.js";
import { sweepSchema } from "./tables.js";
import { works } from "./works.js";

/** A sweep that this worker must leave to others. */
export interface OtherSweep {
  readonly id: string;
  readonly title: string;
  /** Why: another model, another arithmetic, or a kind of work that this program does not know. */
  readonly because: string;
}

/** What is told while it works. */
export type WorkerNews =
  | { readonly kind: "ready"; readonly address: string }
  | { readonly kind: "block"; readonly sweep: string; readonly number: number; readonly seconds: number }
  | { readonly kind: "left"; readonly sweep: OtherSweep }
  | Contact;

export interface TakeWorkOptions {
  readonly signal: AbortSignal;
  /** Threads. */
  readonly count: number;
  /** Ends after so long without work [s]; never, if left out. */
  readonly idle_s?: number;
  readonly onNews?: (news: WorkerNews) => void;
  /** How often blocks of dead workers are looked for [s]. */
  readonly rounds_s?: number;
}

/** What a worker has done. */
export interface WorkDone {
  readonly worker: string;
  readonly blocks: number;
  /** Blocks that somebody else had delivered before. */
  readonly repeated: number;
  readonly worked_s: number;
  readonly left: readonly OtherSweep[];
}

/** Pauses while there is no work [ms]. */
const shortestPause = 50;
const longestPause = 1_000;
/** A block of less than this leaves time only to fetch the next one beside it [s]. */
const shortBlock_s = 1;
/** Connections of a worker, however many threads it has: each is a process on the database's machine. */
const mostConnections = 10;
/** How often sweeps that must be left to others are looked for [s]. */
const lookAround_s = 5;

/** Takes work until it is cancelled, or there was none for a while. Refuses a database that cannot be used. */
export async function takeWork(address: string, options: TakeWorkOptions): Promise<WorkDone> {
  const { signal, count, onNews = () => undefined, rounds_s } = options;
  const most = Math.min(2 * count + 2, mostConnections);
  const database = poolFor(address, { most, patience_s: queryPatience_s });
  const stop = new AbortController();
  const either = AbortSignal.any([signal, stop.signal]);
  const benches = Array.from({ length: count }, startBench);
  try {
    await requireAnswer(database);
    const data = new PersistentDatabase(database, either, onNews);
    const boss = await startQueue(data, {
      isSupervisor: true,
      ...(rounds_s === undefined ? {} : { rounds_s }),
    });
    for (const { kind } of works) await boss.createQueue(queueName(kind));
    const worker = new BlockTaker(data, boss, options, onNews);
    onNews({ kind: "ready", address: database.address });
    try {
      await Promise.all(benches.map((bench) => worker.loop(bench)));
      return worker.done();
    } finally {
      stop.abort(signal.reason ?? new Error("the worker has ended"));
      await worker.giveBack();
      await boss.stop({ graceful: false, close: false });
    }
  } finally {
    await Promise.all(benches.map((bench) => bench.stop()));
    await database.end();
  }
}

interface KnownSweep {
  readonly id: string;
  readonly kind: string;
  readonly order: string;
}

/** A job with what it needs. */
interface Taken {
  readonly job: PgBoss.Job<BlockJob>;
  readonly sweep: KnownSweep;
  readonly block: string;
}

class BlockTaker {
  private readonly name = `${hostname()} ${String(process.pid)}`;
  private readonly sweeps = new Map<string, KnownSweep>();
  private readonly left = new Map<string, OtherSweep>();
  /** Jobs that were fetched and not yet answered for: their queues by their ids. */
  private readonly inHand = new Map<string, string>();
  private blocks = 0;
  private repeated = 0;
  private worked_s = 0;
  private lastWork = elapsedSeconds();
  private lastLook = Number.NEGATIVE_INFINITY;

  constructor(
    private readonly data: PersistentDatabase,
    private readonly boss: PgBoss,
    private readonly options: TakeWorkOptions,
    private readonly onNews: (news: WorkerNews) => void,
  ) {}

  done(): WorkDone {
    const { name, blocks, repeated, worked_s, left } = this;
    return { worker: name, blocks, repeated, worked_s, left: [...left.values()] };
  }

  /** What it cannot answer for any more goes to others at once, instead of after their patience. */
  async giveBack(): Promise<void> {
    const { pool } = this.data.database;
    // The work is over: one try, past the queries that would wait for a database that is away.
    const db = { executeSql: (text: string, values: unknown[]) => pool.query(text, values) };
    for (const [id, name] of this.inHand)
      await this.boss.fail(name, id, { message: "given back" }, { db }).catch(() => undefined);
  }

  /** One thread's work: the next block is fetched and the last one delivered while this one is worked out. */
  async loop(bench: Bench): Promise<void> {
    await this.lookAround();
    let delivery: Promise<void> = Promise.resolve();
    let next: Promise<Taken | undefined> = this.take();
    let last_s = 0;
    for (;;) {
      const taken = await next;
      await delivery;
      if (taken === undefined) {
        if (this.isIdleTooLong()) return;
        await this.lookAround();
        next = this.take();
        continue;
      }
      const working = bench.work(taken.sweep, taken.block);
      const isShort = last_s < shortBlock_s;
      // A block that is fetched waits: of long blocks it would be taken for lost.
      next = isShort ? this.take() : Promise.resolve(undefined);
      next.catch(() => undefined);
      const { isRefused, text, seconds } = await working;
      last_s = seconds;
      delivery = this.deliver(taken, isRefused, text, seconds);
      delivery.catch(() => undefined);
      if (!isShort) next = this.take();
    }
  }

  private isIdleTooLong(): boolean {
    const { idle_s } = this.options;
    return idle_s !== undefined && elapsedSeconds() - this.lastWork > idle_s;
  }

  /** The next block, waited for a while. */
  private async take(): Promise<Taken | undefined> {
    const until = elapsedSeconds() + lookAround_s;
    for (let pause = shortestPause; ; pause = Math.min(1.5 * pause, longestPause)) {
      for (const { kind } of works) {
        const [job] = await this.boss.fetch<BlockJob>(queueName(kind), { batchSize: 1 });
        if (job === undefined) continue;
        this.lastWork = elapsedSeconds();
        this.inHand.set(job.id, job.name);
        const taken = await this.opened(job);
        if (taken !== undefined) return taken;
      }
      if (elapsedSeconds() > until || this.isIdleTooLong()) return undefined;
      await after(pause, undefined, { signal: this.options.signal });
    }
  }

  /** What a job needs; undefined where its block has a result already. */
  private async opened(job: PgBoss.Job<BlockJob>): Promise<Taken | undefined> {
    const { sweep: id, number } = job.data;
    const { rows } = await this.data.query<{ task: string; isDone: boolean }>(
      `select task, exists (select from ${sweepSchema}.result r where r.sweep = $1 and r.number = $2) as "isDone"
       from ${sweepSchema}.block where sweep = $1 and number = $2`,
      [id, number],
    );
    const [block] = rows;
    if (block === undefined || block.isDone) {
      await this.complete(job);
      return undefined;
    }
    return { job, block: block.task, sweep: await this.sweepOf(id) };
  }

  private async sweepOf(id: string): Promise<KnownSweep> {
    const known = this.sweeps.get(id);
    if (known !== undefined) return known;
    const { rows } = await this.data.query<{ kind: string; task: string }>(
      `select kind, task from ${sweepSchema}.sweep where id = $1`,
      [id],
    );
    const [row] = rows;
    if (row === undefined) throw new Error(`sweep ${id} is queued and not in the tables`);
    const sweep = { id, kind: row.kind, order: row.task };
    this.sweeps.set(id, sweep);
    return sweep;
  }

  /** The result first, then the job: a kill between the two leaves a job that finds its result. */
  private async deliver({ job }: Taken, isRefused: boolean, text: string, seconds: number): Promise<void> {
    const { sweep, number } = job.data;
    const { rows } = await this.data.query<{ how: string }>(
      `select ${sweepSchema}.deliver($1, $2, $3, $4, $5, $6) as how`,
      [sweep, number, text, isRefused, this.name, seconds],
    );
    if (rows[0]?.how === "first") this.blocks += 1;
    else this.repeated += 1;
    this.worked_s += seconds;
    this.lastWork = elapsedSeconds();
    await this.complete(job);
    this.onNews({ kind: "block", sweep, number, seconds });
  }

  private async complete({ name, id }: PgBoss.Job<BlockJob>): Promise<void> {
    await this.boss.complete(name, id);
    this.inHand.delete(id);
  }

  /** Sweeps that wait for a worker of another kind than this one are told, once each. */
  private async lookAround(): Promise<void> {
    if (elapsedSeconds() - this.lastLook < lookAround_s) return;
    this.lastLook = elapsedSeconds();
    const { rows } = await this.data.query<{
      id: string;
      title: string;
      kind: string;
      model: string;
      arithmetic: string;
    }>(
      `select id, title, kind, model, arithmetic from ${sweepSchema}.sweep s
       where cancelled is null and (model <> $1 or arithmetic <> $2 or kind <> all($3))
         and blocks > (select count(*) from ${sweepSchema}.result r where r.sweep = s.id)`,
      [modelVersion, arithmeticMark(), works.map(({ kind }) => kind)],
    );
    for (const { id, title, kind, model, arithmetic } of rows) {
      if (this.left.has(id)) continue;
      const sweep = { id, title, because: reasonFor(kind, model, arithmetic) };
      this.left.set(id, sweep);
      this.onNews({ kind: "left", sweep });
    }
  }
}

function reasonFor(kind: string, model: string, arithmetic: string): string {
  if (model !== modelVersion)
    return `it was ordered of model ${model}, this worker has model ${modelVersion}`;
  if (!works.some((work) => work.kind === kind)) return `this worker does not know work of the kind ${kind}`;
  return `the functions of this machine's arithmetic give other last bits (mark ${arithmeticMark()}, ordered with ${arithmetic})`;
}
