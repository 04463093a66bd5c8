/**
 * Queries that outlast the database: a server that restarts or a network that is cut is waited for, and
 * the query put again. So each query must bear being answered twice: the queue and the results do.
 */
import { setTimeout as after } from "node:timers/promises";
import type { QueryResult, QueryResultRow } from "pg";
import { elapsedSeconds } from "../clock.js";
import { type Database, isAway, refuseDatabase } from "../postgres/connect.js";

/** Told when the database goes out of reach, and when it is back after so many seconds. */
export type Contact =
  | { readonly kind: "away"; readonly because: string }
  | { readonly kind: "back"; readonly after_s: number };

/** Pauses between tries [ms]: short at first, as a restart takes a second. */
const firstPause = 100;
const longestPause = 2_000;

export class PersistentDatabase {
  private awaySince: number | undefined;

  constructor(
    readonly database: Database,
    private readonly signal: AbortSignal,
    private readonly onContact: (contact: Contact) => void = () => undefined,
  ) {}

  /** Puts a query until it is answered. Rejects when the work is cancelled; refuses what the database refuses. */
  async query<T extends QueryResultRow>(text: string, values?: unknown[]): Promise<QueryResult<T>> {
    for (let pause = firstPause; ; pause = Math.min(2 * pause, longestPause)) {
      this.signal.throwIfAborted();
      try {
        const result = await this.database.pool.query<T>(text, values);
        this.noteBack();
        return result;
      } catch (error) {
        if (!isAway(error)) return refuseDatabase(error, this.database.address);
        this.noteAway(error);
        this.database.drop();
        await after(pause, undefined, { signal: this.signal }).catch(() => undefined);
      }
    }
  }

  private noteAway(error: unknown): void {
    if (this.awaySince !== undefined) return;
    this.awaySince = elapsedSeconds();
    this.onContact({ kind: "away", because: error instanceof Error ? error.message : String(error) });
  }

  private noteBack(): void {
    if (this.awaySince === undefined) return;
    const after_s = elapsedSeconds() - this.awaySince;
    this.awaySince = undefined;
    this.onContact({ kind: "back", after_s });
  }
}
