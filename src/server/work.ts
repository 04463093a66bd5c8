/**
 * Long work: calls of the command line, each in a process of its own, so that the server answers
 * meanwhile, a cancelled one leaves nothing half written, and its record is the one the command prints.
 */

import { spawn } from "node:child_process";
import { randomUUID } from "node:crypto";
import { type Fault, refuse } from "../fault/index.js";
import { programFile } from "../host/index.js";

/** How far a command is, as it tells it. */
export interface WorkProgress {
  readonly what: string;
  readonly done: number;
  readonly total: number;
  /** Null where nothing tells it. */
  readonly secondsLeft: number | null;
}

/** How a command ended. */
export interface Ended {
  /** Its exit status, null where it was ended from outside. */
  readonly status: number | null;
  /** What it printed with --json. */
  readonly record: unknown;
  readonly faults: readonly Fault[];
}

/** Interrupted, a command clears up; one that is deep in a calculation is ended after this [ms]. */
const patience = 4000;

/**
 * Calls a command; resolves when it has ended.
 * @param options  as `--case=duty`, in one word each, so that no value is taken for another option
 * @param places   its arguments
 */
export function callCommand(
  name: string,
  options: readonly string[],
  places: readonly string[],
  {
    signal,
    onProgress,
  }: { readonly signal: AbortSignal; readonly onProgress?: (told: WorkProgress) => void },
): Promise<Ended> {
  const program = programFile("dist", "src", "cli", "main.js");
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [program, name, "--json", ...options, "--", ...places], {
      stdio: ["ignore", "pipe", "pipe", "ipc"],
    });
    let printed = "";
    let complaint = "";
    let killer: NodeJS.Timeout | undefined;
    const cancel = (): void => {
      child.kill("SIGINT");
      killer ??= setTimeout(() => child.kill("SIGKILL"), patience);
    };
    child.stdout?.setEncoding("utf8").on("data", (text: string) => {
      printed += text;
    });
    child.stderr?.setEncoding("utf8").on("data", (text: string) => {
      complaint = (complaint + text).slice(-2000);
    });
    child.on("message", (message: { readonly progress?: WorkProgress }) => {
      if (message.progress !== undefined) onProgress?.(message.progress);
    });
    child.on("error", reject);
    child.on("close", (status) => {
      clearTimeout(killer);
      signal.removeEventListener("abort", cancel);
      if (signal.aborted || status === null) return resolve({ status: null, record: null, faults: [] });
      try {
        const record: unknown = JSON.parse(printed);
        resolve({ status, record, faults: faultsIn(record) });
      } catch {
        reject(new Error(`coldturn ${name} ended with status ${status} and no record. ${complaint}`));
      }
    });
    if (signal.aborted) cancel();
    else signal.addEventListener("abort", cancel, { once: true });
  });
}

function faultsIn(record: unknown): readonly Fault[] {
  const found = typeof record === "object" && record !== null && "faults" in record ? record.faults : [];
  return Array.isArray(found) ? found : [];
}

/** Where a piece of work stands. */
export type WorkState =
  | { readonly state: "waiting" }
  | { readonly state: "running"; readonly progress: WorkProgress | null }
  | {
      readonly state: "ended";
      readonly status: number;
      readonly record: unknown;
      readonly faults: readonly Fault[];
    }
  | { readonly state: "defect"; readonly text: string }
  | { readonly state: "cancelled" };

export interface Work {
  readonly id: string;
  readonly command: string;
  readonly state: () => WorkState;
  /** Told at each change. @returns takes the listener away */
  readonly listen: (onChange: (state: WorkState) => void) => () => void;
  /** Resolves when it has ended, been cancelled or failed. */
  readonly done: Promise<void>;
}

/** Ended work that is remembered, so that a page that was reloaded learns what became of it. */
const mostKept = 50;

/** The work of a server: one piece after the other, since each uses all processors. */
export class WorkList {
  private readonly all = new Map<string, Work & { readonly abort: AbortController }>();
  private last: Promise<void> = Promise.resolve();

  begin(name: string, options: readonly string[], places: readonly string[]): Work {
    const abort = new AbortController();
    const listeners = new Set<(state: WorkState) => void>();
    let now: WorkState = { state: "waiting" };
    const turn = (state: WorkState): void => {
      now = state;
      for (const listener of listeners) listener(state);
    };
    const act = async (): Promise<void> => {
      if (abort.signal.aborted) return turn({ state: "cancelled" });
      turn({ state: "running", progress: null });
      try {
        const { status, record, faults } = await callCommand(name, options, places, {
          signal: abort.signal,
          onProgress: (progress) => turn({ state: "running", progress }),
        });
        if (status === null && abort.signal.aborted) turn({ state: "cancelled" });
        else if (status === null) turn({ state: "defect", text: `coldturn ${name} was ended by the system` });
        else turn({ state: "ended", status, record, faults });
      } catch (thrown) {
        turn({ state: "defect", text: thrown instanceof Error ? thrown.message : String(thrown) });
      }
    };
    this.last = this.last.then(act);
    const work = {
      id: randomUUID(),
      command: name,
      state: () => now,
      listen: (onChange: (state: WorkState) => void) => {
        listeners.add(onChange);
        return () => listeners.delete(onChange);
      },
      done: this.last,
      abort,
    };
    this.all.set(work.id, work);
    for (const [id, old] of this.all) {
      if (this.all.size <= mostKept) break;
      if (!["waiting", "running"].includes(old.state().state)) this.all.delete(id);
    }
    return work;
  }

  /** Refuses work that is not known. */
  find(id: string): Work {
    return this.known(id);
  }

  /** Cancels; work that has ended stays as it is. */
  cancel(id: string): void {
    this.known(id).abort.abort();
  }

  async end(): Promise<void> {
    for (const { abort } of this.all.values()) abort.abort();
    await this.last;
  }

  private known(id: string): Work & { readonly abort: AbortController } {
    return (
      this.all.get(id) ??
      refuse(
        "serve-gone",
        "this piece of work or staged log is not known",
        "It lives as long as the server that was asked for it.",
        "Ask for it again",
      )
    );
  }
}
