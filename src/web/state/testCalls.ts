/** The calls to the server about logs, runs and long work; each reply is checked before it is used. */
import type {
  ClockAlignment,
  DetectedEvent,
  Inspection,
  Proposal,
  Reconciliation,
  RunRecord,
  SealedFinding,
} from "../../evidence/index.js";
import type { Fault, Notice } from "../../fault/index.js";
import type { Answer } from "../../question/index.js";
import { call, isRecord, json, ServerTrouble, strange } from "./server.js";

/** A log that was dropped, as the server first saw it. */
export interface LogSeen {
  readonly id: string;
  readonly name: string;
  readonly bytes: number;
  readonly inspection: Inspection;
  readonly notices: readonly Notice[];
}

/** What is said of a log that is to become a run. */
export interface LogRequest {
  readonly case: string;
  readonly date?: string;
  readonly run?: string;
  readonly note?: string;
  readonly corrections?: readonly string[];
  readonly further?: readonly string[];
  readonly anew?: boolean;
}

/** What `coldturn import` says of a log. */
export interface ImportResult {
  readonly run: RunRecord;
  readonly mappingFrom: string | null;
  readonly rows: number;
  readonly channels: readonly { readonly name: string; readonly role: string; readonly unit?: string }[];
  readonly rejectedCount: number;
  readonly files: readonly { readonly file: string; readonly clock: ClockAlignment | null }[];
  readonly notices: readonly Notice[];
  readonly measuringNotices: readonly Notice[];
  readonly events: readonly DetectedEvent[];
  readonly sense: string | null;
  readonly times: readonly {
    readonly definition: string;
    readonly value_s: number;
    readonly standardUncertainty_s: number;
  }[];
  readonly timesNotKnown: readonly { readonly definition: string; readonly because: string }[];
}

/** What `coldturn reconcile` says. */
export interface ReconcileResult {
  readonly runs: readonly {
    readonly reconciliation: Reconciliation;
    readonly proposals: readonly Proposal[];
    readonly sealedFinding: SealedFinding | null;
    readonly notices: readonly Notice[];
    readonly answer: Answer;
  }[];
  readonly joint: { readonly proposals: readonly Proposal[] } | null;
  readonly accepted: { readonly changes?: readonly unknown[] } | null;
}

/** Where a piece of work stands. */
export type WorkState =
  | { readonly state: "waiting" }
  | {
      readonly state: "running";
      readonly progress: {
        readonly what: string;
        readonly done: number;
        readonly total: number;
        readonly secondsLeft: number | null;
      } | null;
    }
  | {
      readonly state: "ended";
      readonly status: number;
      readonly record: unknown;
      readonly faults: readonly Fault[];
    }
  | { readonly state: "defect"; readonly text: string }
  | { readonly state: "cancelled" };

/** Sends a log. */
export async function sendLog(file: File): Promise<LogSeen> {
  const { body } = await call("/api/logs", {
    method: "POST",
    headers: { "content-type": "application/octet-stream", "x-file-name": encodeURIComponent(file.name) },
    body: file,
  });
  if (!isRecord(body) || typeof body.id !== "string" || !isRecord(body.inspection))
    return strange("/api/logs");
  return body as unknown as LogSeen;
}

/** What a log would become; nothing is written. Throws what the mapping leaves open, as faults. */
export async function lookAtLog(
  id: string,
  request: LogRequest,
  signal: AbortSignal,
): Promise<{ readonly result: ImportResult; readonly faults: readonly Fault[] }> {
  const { body } = await call(`/api/logs/${id}/mapping`, { ...json("POST", request), signal });
  const result = resultIn(body);
  if (!isRecord(result) || !Array.isArray(result.events)) return strange("/api/logs");
  const faults = isRecord(body) && Array.isArray(body.faults) ? (body.faults as readonly Fault[]) : [];
  return { result: result as unknown as ImportResult, faults };
}

/** Forgets a log. */
export async function dropLog(id: string): Promise<void> {
  await call(`/api/logs/${id}`, { method: "DELETE" });
}

/** The result of a command's record, or undefined. */
export function resultIn(record: unknown): unknown {
  return isRecord(record) ? record.result : undefined;
}

/** Begins long work. @returns its id, or undefined where the files are not what the request was made from */
export async function beginWork(path: string, body: unknown): Promise<string | undefined> {
  const answer = await call(path, json("POST", body));
  if (answer.status === 409) return undefined;
  if (!isRecord(answer.body) || typeof answer.body.work !== "string") return strange(path);
  return answer.body.work;
}

/** Whether a piece of work goes on or has ended: a server that was started again knows nothing of it. */
export async function isWorkAlive(id: string): Promise<boolean> {
  try {
    const { body } = await call(`/api/work/${encodeURIComponent(id)}`);
    return isRecord(body) && ["waiting", "running", "ended"].includes(String(body.state));
  } catch (thrown) {
    if (!(thrown instanceof ServerTrouble)) throw thrown;
    return false;
  }
}

/** Ends long work ahead of its time. */
export async function cancelWork(id: string): Promise<void> {
  await call(`/api/work/${id}`, { method: "DELETE" });
}

/** Follows a piece of work until it has ended. */
export function followWork(id: string, onState: (state: WorkState) => void): void {
  const source = new EventSource(`/api/work/${id}`);
  source.addEventListener("state", ({ data }: MessageEvent<string>) => {
    const state = JSON.parse(data) as WorkState;
    if (state.state !== "waiting" && state.state !== "running") source.close();
    onState(state);
  });
  source.addEventListener("error", () => {
    // A server that was started again does not know the work any more; one that is busy is asked again.
    if (source.readyState === EventSource.CLOSED)
      onState({ state: "defect", text: "The server does not know this work any more. Ask for it again." });
  });
}

/** Moves an event of a run by hand, or takes the move back. @returns false where run.yaml is not `base` any more */
export async function moveEvent(
  run: string,
  move: {
    readonly base: string;
    readonly event: string;
    readonly time_s: number | null;
    readonly who: string;
    readonly why: string;
  },
): Promise<boolean> {
  const { status } = await call(`/api/runs/${encodeURIComponent(run)}/moves`, json("POST", move));
  return status !== 409;
}

/** One stored log of a run, on its own clock. */
export interface ChannelFile {
  readonly file: string;
  readonly rows: number;
  readonly from_s: number;
  readonly to_s: number;
  readonly channels: readonly { readonly name: string; readonly role: string }[];
}

/** Channels over a range of time: every row, or the extremes of each stretch. */
export interface ChannelTile {
  readonly from_s: number;
  readonly to_s: number;
  readonly rows: number;
  readonly isThinned: boolean;
  readonly channels: Readonly<
    Record<string, { readonly time_s: readonly number[]; readonly value: readonly (number | null)[] }>
  >;
}

/** What the logs of a run hold. */
export async function fetchChannelList(run: string): Promise<readonly ChannelFile[]> {
  const path = `/api/runs/${encodeURIComponent(run)}/channels`;
  const { body } = await call(path);
  if (!isRecord(body) || !Array.isArray(body.files)) return strange(path);
  return body.files as readonly ChannelFile[];
}

/** Channels of one file of a run. @param range  on the clock of that file [s] */
export async function fetchTile(
  run: string,
  file: number,
  names: readonly string[],
  range: { readonly from_s: number; readonly to_s: number },
  buckets: number,
): Promise<ChannelTile> {
  const asked = new URLSearchParams([
    ...names.map((name) => ["channel", name]),
    ["file", String(file)],
    ["from_s", String(range.from_s)],
    ["to_s", String(range.to_s)],
    ["buckets", String(buckets)],
  ]);
  const path = `/api/runs/${encodeURIComponent(run)}/channels`;
  const { body } = await call(`${path}?${asked}`);
  if (!isRecord(body) || !isRecord(body.channels)) return strange(path);
  return body as unknown as ChannelTile;
}

/** The faults of a refusal, or its words as one. */
export function faultsOf(thrown: unknown): readonly Fault[] {
  if (!(thrown instanceof ServerTrouble)) throw thrown;
  if (thrown.faults.length > 0) return thrown.faults;
  const allowed = "The page reads and writes through the server that `coldturn serve` started.";
  const mend = "See whether it still runs, then do it again";
  return [{ code: "serve-silent", where: {}, found: thrown.message, allowed, mend }];
}
