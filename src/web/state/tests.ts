/** The state of the page of tests: logs that were dropped, long work, what was found of the chosen runs. */
import { createStore } from "zustand/vanilla";
import type { Fault } from "../../fault/index.js";
import type { LogSaid } from "./corrections.js";
import type { ImportResult, LogSeen, ReconcileResult, WorkState } from "./testCalls.js";

/** A log on its way to become a run. */
export interface StagedLog {
  readonly seen: LogSeen;
  readonly proposed: LogSaid;
  readonly said: LogSaid;
  /** The case that was tested; nothing until a person says it. */
  readonly caseId: string;
  readonly date: string;
  readonly run: string;
  readonly note: string;
  /** Another staged log of the same test, whose clock is that of the run. */
  readonly partOf: string | undefined;
  readonly isAsking: boolean;
  readonly shown: ImportResult | undefined;
  readonly faults: readonly Fault[];
}

/** Long work that was begun here. */
export interface ShownWork {
  readonly id: string;
  readonly words: string;
  /** Where on the page it was begun: "hold", "seal", or the id of a log or run. */
  readonly at: string;
  readonly state: WorkState;
}

/** What was asked of a reconciliation: the same is asked again when values are accepted. */
export interface FindingAsked {
  readonly runs: readonly string[];
  readonly sample: boolean;
  readonly samples: number;
  readonly seed: number;
}

/** What a reconciliation proposes, and what the person makes of it. */
export interface ShownFinding {
  readonly asked: FindingAsked;
  /** Hash of the valve file that it was made from. */
  readonly base: string;
  readonly result: ReconcileResult;
  /** By path of the value; nothing until a person decides. */
  readonly decided: Readonly<Record<string, "accept" | "refuse">>;
  readonly althoughItDoesNotStand: boolean;
}

export interface TestBench {
  readonly logs: readonly StagedLog[];
  readonly works: readonly ShownWork[];
  /** Ids of runs. */
  readonly chosen: readonly string[];
  /** Ids of runs that are shown over the one that is looked at. */
  readonly over: readonly string[];
  readonly finding: ShownFinding | undefined;
  readonly faults: readonly Fault[];
  /** Where on the page they belong. */
  readonly faultsAt: string;
}

export const testBench = createStore<TestBench>(() => ({
  logs: [],
  works: [],
  chosen: [],
  over: [],
  finding: undefined,
  faults: [],
  faultsAt: "",
}));

/** Whether long work is under way: the next waits until it has ended. */
export function isBusyIn({ works }: TestBench): boolean {
  return works.some(({ state }) => state.state === "waiting" || state.state === "running");
}
