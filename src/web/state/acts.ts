/** What a person can do, and what then happens to the state. */
import type { FromWorker, NewValue } from "../compute/protocol.js";
import { type Engine, startEngine } from "./engine.js";
import { editBetween, type Files, type History, redo, undo, withEdit } from "./history.js";
import { inputKey } from "./inputKey.js";
import { type AnswerSet, type Variant, type Workbench, workbench } from "./workbench.js";

const valveFile = "valve.yaml";
/** States whose answers are kept; each takes about a megabyte. */
const mostResults = 40;

let engine: Engine | undefined;
let turn = 0;
/** The change being written into the file, and the one that came after it. */
let writing: Change | undefined;
let waiting: Change | undefined;
/** The question that is looked at. */
let focus = 1;

interface Change {
  readonly turn: number;
  readonly path: string;
  readonly value: NewValue;
  readonly gesture: string;
  /** The text that it is being written into. */
  readonly from?: string | undefined;
}

const set = workbench.setState;
const get = (): Workbench => workbench.getState();

/** Starts the workers. */
export function startWork(): void {
  engine = startEngine(hear, (words) => set({ trouble: words }));
  engine.tell({ kind: "describe" });
}

/** Which question is looked at: its answer comes first. */
export function lookAt(number: number): void {
  focus = number;
}

/** Shows other files or another case, and asks for its answers. */
export function setState(files: Files, history: History, caseId = get().caseId): void {
  const { evidenceTurn, key: before, results, lastKey } = get();
  const key = inputKey(files, caseId, evidenceTurn);
  const known = results.get(before);
  set({
    files,
    history,
    caseId,
    key,
    ahead: undefined,
    unreadable: [],
    ...(known === undefined ? { lastKey } : { lastKey: before }),
  });
  engine?.answer({ key, texts: files, caseId }, focus);
}

/** Tells the workers what the tests have shown. */
export function tellEvidence(): void {
  engine?.tell({ kind: "evidence", evidence: get().evidence });
}

/** A name that no gesture has had before. */
export function newGesture(): string {
  return `gesture ${++turn}`;
}

/** Gives a field another value. @param gesture changes of one gesture are undone together */
export function changeValue(path: string, value: NewValue, gesture = newGesture()): void {
  const change = { turn: ++turn, path, value, gesture };
  performance.mark("edit");
  const { [path]: _, ...refused } = get().refused;
  set({ refused });
  engine?.ahead(change.turn, path, value, focus);
  if (writing === undefined) write(change);
  else {
    if (waiting !== undefined && waiting.path !== path) queue.push(waiting);
    waiting = change;
  }
}

/** Changes of other fields that wait for the one being written. */
const queue: Change[] = [];

function write(change: Change): void {
  const from = get().files[valveFile];
  writing = { ...change, from };
  engine?.write(change.turn, from ?? "", change.path, change.value);
}

function writeNext(): void {
  writing = undefined;
  const next = queue.shift() ?? waiting;
  if (next === waiting) waiting = undefined;
  if (next !== undefined) write(next);
  else for (const act of afterWriting.splice(0)) act();
}

/** What was asked for while a change was being written. */
const afterWriting: (() => void)[] = [];

/** Acts once every change that was given before stands in the file. */
export function afterChanges(act: () => void): void {
  if (writing === undefined) act();
  else afterWriting.push(act);
}

/** One edit back. */
export function undoEdit(): void {
  afterChanges(() => step(undo(get().history, get().files), "Undone", "Nothing to undo."));
}

/** The edit that was undone last. */
export function redoEdit(): void {
  afterChanges(() => step(redo(get().history, get().files), "Done again", "Nothing to do again."));
}

function step(to: ReturnType<typeof undo>, done: string, nothing: string): void {
  if (to === undefined) {
    set({ said: nothing });
    return;
  }
  const edit =
    to.history.done.length < get().history.done.length ? get().history.done.at(-1) : to.history.done.at(-1);
  set({ refused: {}, said: `${done}: ${edit?.words ?? ""}` });
  setState(to.files, to.history);
}

/** Keeps the state of now beside the ones to come. */
export function pinVariant(name: string, verdicts: Variant["verdicts"]): void {
  const { variants, files, caseId } = get();
  set({ variants: [...variants, { name, files, caseId, verdicts }], said: `Kept as ${name}.` });
}

/** Lets go of a kept state. */
export function dropVariant(name: string): void {
  set({ variants: get().variants.filter((variant) => variant.name !== name), said: `${name} is gone.` });
}

/** Goes back to a kept state, as an edit that can be undone. */
export function takeVariant({ name, files, caseId }: Variant): void {
  const { files: now, history } = get();
  const gesture = newGesture();
  const edits = Object.entries(files)
    .filter(([path, text]) => now[path] !== text)
    .map(([path, text]) => editBetween(path, now[path] ?? "", text, `take ${name}`, gesture));
  const changed = edits.reduce((so, edit) => withEdit(so, now, edit), history);
  setState({ ...now, ...files }, changed, caseId);
}

function hear(message: FromWorker): void {
  switch (message.kind) {
    case "fields":
      set({ fields: message.fields });
      break;
    case "read":
      if (message.key === get().key) set({ reading: message.reading });
      break;
    case "answers":
      keep(message);
      break;
    case "ahead":
      if (message.turn >= (writing?.turn ?? 0)) showAhead(message);
      break;
    case "written":
      written(message.text);
      break;
    case "refused":
      refused(message);
      break;
  }
}

function keep({ key, answers, samples, isLast }: Extract<FromWorker, { kind: "answers" }>): void {
  const { results, key: now } = get();
  const before = results.get(key);
  // The quick worker may come behind the thorough one.
  if (before !== undefined && before.samples > samples) return;
  const all = new Map(before?.answers);
  for (const answer of answers) all.set(answer.number, answer);
  const next: Map<string, AnswerSet> = new Map(results);
  next.delete(key);
  next.set(key, { answers: all, samples, isLast });
  for (const old of next.keys()) if (next.size > mostResults && old !== now) next.delete(old);
  set({ results: next, ...(key === now ? { ahead: undefined } : {}) });
}

function showAhead({ answers }: Extract<FromWorker, { kind: "ahead" }>): void {
  if (answers.length === 0) return;
  set({ ahead: new Map(answers.map((answer) => [answer.number, answer])) });
}

function written(text: string): void {
  const change = writing;
  const { files, history } = get();
  if (change !== undefined && files[valveFile] !== change.from) {
    // The file was changed meanwhile, by another hand: the change is written into what stands there now.
    write(change);
    return;
  }
  if (change !== undefined && text !== files[valveFile]) {
    const edit = editBetween(valveFile, files[valveFile] ?? "", text, change.path, change.gesture);
    const ahead = get().ahead;
    setState({ ...files, [valveFile]: text }, withEdit(history, files, edit));
    // The quick answer stands until the thorough one comes.
    set({ ahead });
  }
  writeNext();
}

function refused({ turn: refusedTurn, key, faults }: Extract<FromWorker, { kind: "refused" }>): void {
  if (key !== undefined) {
    if (key === get().key) set({ unreadable: faults });
    return;
  }
  const path = writing?.turn === refusedTurn ? writing?.path : undefined;
  if (path === undefined) return;
  set({ refused: { ...get().refused, [path]: faults } });
  // What was answered ahead of it is of a value that the file does not take.
  const { files, history } = get();
  setState(files, history);
  writeNext();
}
