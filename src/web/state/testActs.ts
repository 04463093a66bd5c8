/** What a person does with logs: drop, correct, import. */
import { correctionsOf, type LogSaid, proposedSaid } from "./corrections.js";
import { isRecord } from "./server.js";
import {
  beginWork,
  cancelWork,
  dropLog,
  faultsOf,
  followWork,
  type LogRequest,
  lookAtLog,
  resultIn,
  sendLog,
  type WorkState,
} from "./testCalls.js";
import { isBusyIn, type ShownWork, type StagedLog, testBench } from "./tests.js";
import { workbench } from "./workbench.js";

const set = testBench.setState;
const get = testBench.getState;

/** Says something once to everybody. */
export function say(said: string): void {
  workbench.setState({ said });
}

/** Sends dropped files, one after the other: each is read whole. */
export async function dropFiles(files: readonly File[]): Promise<void> {
  set({ faults: [], faultsAt: "drop" });
  for (const file of files) {
    say(`Reading ${file.name}.`);
    try {
      const seen = await sendLog(file);
      const proposed = proposedSaid(seen.inspection);
      const log: StagedLog = {
        ...{ seen, proposed, said: proposed, caseId: "", date: "", run: "", note: "", partOf: undefined },
        ...{ isAsking: false, shown: undefined, faults: [] },
      };
      set({ logs: [...get().logs, log] });
      say(`${file.name} is read. Say which case was tested.`);
    } catch (thrown) {
      set({ faults: [...get().faults, ...faultsOf(thrown)] });
    }
  }
}

function change(id: string, part: Partial<StagedLog>): void {
  set({ logs: get().logs.map((log) => (log.seen.id === id ? { ...log, ...part } : log)) });
}

/** Takes what is said of a log, and looks again at what it would become. */
export function sayOfLog(
  id: string,
  part: Partial<Pick<StagedLog, "said" | "caseId" | "date" | "run" | "note" | "partOf">>,
): void {
  change(id, part);
  const log = get().logs.find(({ seen }) => seen.id === id);
  void look(log?.partOf ?? id);
}

/** The looks that are on their way, by log: a newer one ends the older. */
const looking = new Map<string, AbortController>();

async function look(id: string): Promise<void> {
  const log = get().logs.find(({ seen }) => seen.id === id);
  looking.get(id)?.abort();
  if (log === undefined || log.caseId === "") return;
  const abort = new AbortController();
  looking.set(id, abort);
  change(id, { isAsking: true });
  try {
    const { result, faults } = await lookAtLog(id, requestOf(log), abort.signal);
    if (!abort.signal.aborted) change(id, { shown: result, faults, isAsking: false });
  } catch (thrown) {
    if (!abort.signal.aborted) change(id, { faults: faultsOf(thrown), shown: undefined, isAsking: false });
  }
}

/** A log and the further ones of its test, as the server is asked. */
function requestOf(log: StagedLog): LogRequest {
  const { caseId, date, run, note } = log;
  const further = get().logs.filter(({ partOf }) => partOf === log.seen.id);
  const corrections = [log, ...further].flatMap(({ proposed, said }, i) =>
    correctionsOf(proposed, said).map((one) => (i === 0 ? one : `${i + 1}:${one}`)),
  );
  return {
    case: caseId,
    ...(date.trim() === "" ? {} : { date: date.trim() }),
    ...(run.trim() === "" ? {} : { run: run.trim() }),
    ...(note.trim() === "" ? {} : { note: note.trim() }),
    ...(corrections.length === 0 ? {} : { corrections }),
    ...(further.length === 0 ? {} : { further: further.map(({ seen }) => seen.id) }),
  };
}

/** Says something else of one column. */
export function sayOfColumns(id: string, to: (said: LogSaid) => LogSaid): void {
  const log = get().logs.find(({ seen }) => seen.id === id);
  if (log !== undefined) sayOfLog(id, { said: to(log.said) });
}

/** Makes a run of a log. */
export async function importLog(id: string): Promise<void> {
  const log = get().logs.find(({ seen }) => seen.id === id);
  if (log === undefined) return;
  const begun = await begin(`/api/logs/${id}/import`, requestOf(log), `importing ${log.seen.name}`, id);
  const state = await begun?.end;
  if (state?.state !== "ended") return;
  const result = resultIn(state.record);
  if (result === undefined || result === null) return change(id, { faults: state.faults });
  set({
    logs: get().logs.filter(({ seen, partOf }) => seen.id !== id && partOf !== id),
    faults: state.faults,
    faultsAt: "drop",
  });
  say(`${log.seen.name} is a run now.`);
  const run = isRecord(result) && isRecord(result.run) ? String(result.run.id) : "";
  if (run !== "") await findEvents(run, "drop");
}

/** Finds events, times and torques of a run. @param at where on the page it was asked for */
export async function findEvents(run: string, at = run): Promise<void> {
  const begun = await begin("/api/reduce", { run }, `finding the events of ${run}`, at);
  const state = await begun?.end;
  if (state?.state !== "ended") return;
  set({ faults: state.faults, faultsAt: at });
  if (resultIn(state.record) !== undefined) say(`The events of ${run} are found.`);
}

/** What events were asked for without a person asking: never twice, lest a failure comes again and again. */
const askedFor = new Set<string>();

/** Finds the events of a run that is looked at. @param what  run and state of the files */
export function findEventsOnce(run: string, what: string): void {
  if (askedFor.has(what) || isBusyIn(get())) return;
  askedFor.add(what);
  void findEvents(run);
}

/** Forgets a log, and ends its import. */
export async function forgetLog(id: string): Promise<void> {
  looking.get(id)?.abort();
  set({ logs: get().logs.filter(({ seen }) => seen.id !== id) });
  try {
    await dropLog(id);
  } catch (thrown) {
    set({ faults: faultsOf(thrown), faultsAt: "drop" });
  }
}

/** Begins long work and shows how far it is. @returns its id and its end; undefined where it was refused */
export async function begin(
  path: string,
  body: unknown,
  words: string,
  at: string,
): Promise<{ readonly id: string; readonly end: Promise<WorkState> } | undefined> {
  set({ faults: [], faultsAt: at });
  try {
    const id = await beginWork(path, body);
    if (id === undefined) {
      const found = "valve.yaml was changed since this was found";
      const allowed = "Values are accepted into the file that they were found from.";
      const mend = "Hold the runs against the prediction again";
      set({ faults: [{ code: "file-changed", where: { file: "valve.yaml" }, found, allowed, mend }] });
      return undefined;
    }
    return { id, end: follow(id, words, at) };
  } catch (thrown) {
    set({ faults: faultsOf(thrown) });
    return undefined;
  }
}

/** Shows how far a piece of work is that the server knows. @returns its end */
export function follow(id: string, words: string, at: string): Promise<WorkState> {
  const work: ShownWork = { id, words, at, state: { state: "waiting" } };
  set({ works: [...get().works, work] });
  return new Promise<WorkState>((resolve) => {
    followWork(id, (state) => {
      set({ works: get().works.map((one) => (one.id === id ? { ...one, state } : one)) });
      if (state.state === "waiting" || state.state === "running") return;
      if (state.state === "cancelled") say(`Cancelled: ${words}.`);
      if (state.state !== "defect") set({ works: get().works.filter((one) => one.id !== id) });
      resolve(state);
    });
  });
}

/** Ends long work ahead of its time, or takes away what is said of work that broke. */
export async function endWork({ id, at, state }: ShownWork): Promise<void> {
  if (state.state === "defect") {
    set({ works: get().works.filter((one) => one.id !== id) });
    return;
  }
  try {
    await cancelWork(id);
  } catch (thrown) {
    set({ faults: faultsOf(thrown), faultsAt: at });
  }
}
