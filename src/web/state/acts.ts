/** What a person can do, and what then happens to the state. */
import type { NotedAnswer } from "../../note/index.js";
import type { FromWorker, Inputs, NewValue, SeekAsked, SeekTold } from "../compute/protocol.js";
import { editBetween, type Files, type History, redo, undo, withEdit } from "./history.js";
import { inputKey } from "./inputKey.js";
import { type Ports, type Schedule, schedule } from "./schedule.js";
import { type AnswerSet, type SampledAnswer, type Variant, type Workbench, workbench } from "./workbench.js";

const valveFile = "valve.yaml";
/** States whose answers are kept; each takes about a megabyte. */
const mostResults = 40;

let work: Schedule | undefined;
/** What a person waits for. */
export type Wait = "first answer" | "edit to redraw";
/** Called when what a person waited for is shown, with the time since which. */
let onShown: (wait: Wait, since: number) => void = () => {};
let turn = 0;
/** The newest change, until another state takes its place: no other is answered ahead. */
let awaited: { readonly turn: number; readonly since: number } | undefined;
/** A change that could not be answered ahead of the file: the state whose answer is awaited instead. */
let awaitedKey: { readonly key: string; readonly since: number } | undefined;
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

/** Starts the work. @param counter, shown as in `schedule` and `onShown` */
export function startWork(ports: Ports, shown: typeof onShown = () => {}, counter?: Int32Array): void {
  onShown = shown;
  [writing, waiting, awaited] = [undefined, undefined, undefined];
  queue.length = 0;
  afterWriting.length = 0;
  work = schedule(ports, hear, (words) => set({ trouble: words }), counter);
}

/** Asks for what there is to say of the fields. */
export function describeFields(): void {
  work?.describe();
}

/** Which question is looked at: its answer comes first. */
export function lookAt(number: number): void {
  focus = number;
  work?.lookAt(number);
}

/** Shows other files or another case, and asks for its answers. */
export function setState(files: Files, history: History, caseId = get().caseId): void {
  awaited = undefined;
  showState(files, history, caseId, false);
}

/** @param isSeen whether its first look is shown already */
function showState(files: Files, history: History, caseId: string, isSeen: boolean): void {
  const { evidenceTurn, key: before, results, lastKey } = get();
  const key = inputKey(files, caseId, evidenceTurn);
  const known = results.get(before);
  set({
    files,
    history,
    caseId,
    key,
    ahead: undefined,
    // From here on the key of the state tells whether an answer belongs to it.
    isAwaiting: false,
    unreadable: [],
    ...(known === undefined ? { lastKey } : { lastKey: before }),
  });
  work?.answer({ key, texts: files, caseId }, focus, isSeen);
}

/** Tells the workers what the tests have shown. */
export function tellEvidence(): void {
  work?.evidence({ kind: "evidence", evidence: get().evidence });
}

/** Asks for the band of the histories of a stroke, as the files are now. */
export function askHistories(caseId: string, sense: "opening" | "closing"): void {
  work?.histories({ kind: "histories", texts: get().files, caseId, sense });
}

/** Asks for every answer to another state, beside that of now; undefined where none is wanted any more. */
export function askBeside(inputs: Inputs | undefined): void {
  work?.beside(inputs);
}

/** What was asked of the search for other parts and is not told yet. */
const seekAsked = new Map<number, (told: SeekTold) => void>();

/** Asks about the search for other parts. */
export function askSeek(asked: SeekAsked): Promise<SeekTold> {
  const number = ++turn;
  return new Promise((resolve) => {
    seekAsked.set(number, resolve);
    work?.seek({ kind: "seek", asked, number });
  });
}

/** Those who wait for a calculation note, in the order in which they asked. */
const noteReaders: ((page: string) => void)[] = [];

/** The calculation note of an answer that is shown, as a page of its own. */
export function askNote(answer: NotedAnswer): Promise<string> {
  const { files: texts, caseId } = get();
  work?.note({ kind: "note", texts, caseId, answer });
  return new Promise((resolve) => noteReaders.push(resolve));
}

/** A name that no gesture has had before. */
export function newGesture(): string {
  return `gesture ${++turn}`;
}

/** Gives a field another value. @param gesture changes of one gesture are undone together */
export function changeValue(path: string, value: NewValue, gesture = newGesture()): void {
  const change = { turn: ++turn, path, value, gesture };
  awaited = { turn, since: performance.now() };
  setTimeout(markLate, patience, turn);
  const { [path]: _, ...refused } = get().refused;
  set({ refused, isAwaiting: true });
  work?.ahead({ turn, path, value }, focus);
  if (writing === undefined) write(change);
  else {
    if (waiting !== undefined && waiting.path !== path) queue.push(waiting);
    waiting = change;
  }
}

/** What is shown is marked from the edit on; an answer that has not come by then is said to be the last one [ms]. */
const patience = 100;

/** Marks what is shown as stale while the answer to a change is still awaited. */
function markLate(of: number): void {
  const { ahead } = get();
  if (awaited?.turn !== of || (ahead !== undefined && ahead.turn >= of)) return;
  set({ ahead: { turn: of - 1, answers: ahead?.answers ?? new Map(), isStale: true } });
}

/** Changes of other fields that wait for the one being written. */
const queue: Change[] = [];

function write(change: Change): void {
  const from = get().files[valveFile];
  writing = { ...change, from };
  const { turn: mine, path, value } = change;
  work?.write(from ?? "", { turn: mine, path, value });
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
  const { files, caseId } = get();
  keepVariant({ name, files, caseId, verdicts });
}

/** Keeps a state; one of the same name takes the place of the other. */
export function keepVariant(variant: Variant): void {
  const { variants } = get();
  const isKnown = variants.some(({ name }) => name === variant.name);
  const others = variants.map((one) => (one.name === variant.name ? variant : one));
  set({ variants: isKnown ? others : [...variants, variant], said: `Kept as ${variant.name}.` });
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
      if (message.key === get().key) set({ reading: message.reading, readingKey: message.key });
      break;
    case "answers":
      keep(message);
      break;
    case "ahead":
      showAhead(message);
      break;
    case "histories": {
      const { caseId, sense, texts: files, band } = message;
      set({ histories: { ...get().histories, [`${caseId} ${sense}`]: { files, band } } });
      break;
    }
    case "seek":
      seekAsked.get(message.number)?.(message.told);
      seekAsked.delete(message.number);
      break;
    case "note":
      noteReaders.shift()?.(message.page);
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
  const all = new Map(before?.answers);
  for (const answer of answers) {
    // The quick worker may come behind the thorough one.
    if ((all.get(answer.number)?.samples ?? 0) <= samples) all.set(answer.number, { answer, samples });
  }
  const next: Map<string, AnswerSet> = new Map(results);
  next.delete(key);
  next.set(key, { answers: all, isLast: isLast || before?.isLast === true });
  for (const old of next.keys()) if (next.size > mostResults && old !== now) next.delete(old);
  set({ results: next });
  if (key !== now) return;
  if (results.size === 0) onShown("first answer", 0);
  if (awaitedKey?.key === key) onShown("edit to redraw", awaitedKey.since);
  awaitedKey = undefined;
}

function showAhead({ turn: of, answers, samples }: Extract<FromWorker, { kind: "ahead" }>): void {
  // One that comes late, of a change that another state has taken the place of, is never shown.
  if (awaited === undefined || of > awaited.turn || answers.length === 0) return;
  const { ahead } = get();
  if (ahead !== undefined && ahead.turn > of) return;
  const sampled = answers.map((answer): [number, SampledAnswer] => [answer.number, { answer, samples }]);
  set({ ahead: { turn: of, answers: new Map(sampled), isStale: false }, isAwaiting: of !== awaited.turn });
  if (of === awaited.turn) onShown("edit to redraw", awaited.since);
}

function written(text: string): void {
  const change = writing;
  const { files, history } = get();
  if (change !== undefined && files[valveFile] !== change.from) {
    // The file was changed meanwhile, by another hand: the change is written into what stands there now.
    write(change);
    return;
  }
  if (change !== undefined && text === files[valveFile]) {
    // Nothing to write, but the work that the change has stopped goes on.
    setState(files, history);
  } else if (change !== undefined) takeWritten(change, text);
  writeNext();
}

function takeWritten(change: Change, text: string): void {
  const { files, history, caseId, ahead } = get();
  const edit = editBetween(valveFile, files[valveFile] ?? "", text, change.path, change.gesture);
  const isNewest = awaited === undefined || awaited.turn <= change.turn;
  const isSeen = ahead?.turn === change.turn && !ahead.isStale;
  showState({ ...files, [valveFile]: text }, withEdit(history, files, edit), caseId, isSeen || !isNewest);
  // What was answered ahead is now an answer to the file; what is shown of a newer change stands before it.
  if (isSeen) keepAhead(ahead);
  else if (isNewest && awaited !== undefined) awaitedKey = { key: get().key, since: awaited.since };
  if (isNewest) awaited = undefined;
  else set({ ahead, isAwaiting: ahead?.turn !== awaited?.turn });
}

function keepAhead({ answers }: NonNullable<Workbench["ahead"]>): void {
  const { key, results } = get();
  const known = results.get(key)?.answers ?? [];
  const all = new Map([...answers, ...known]);
  const next: Map<string, AnswerSet> = new Map(results);
  next.delete(key);
  set({ results: next.set(key, { answers: all, isLast: results.get(key)?.isLast === true }) });
}

function refused({ turn: refusedTurn, key, faults }: Extract<FromWorker, { kind: "refused" }>): void {
  if (key !== undefined) {
    if (key === get().key) set({ unreadable: faults });
    else set({ besideRefused: { key, faults } });
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
