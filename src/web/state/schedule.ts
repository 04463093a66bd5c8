/**
 * Which of the two workers does what, and when. An edit is first answered by the quick one; then the value
 * is written into the file; and when nobody has edited for a while, the thorough one answers everything.
 * Whatever it does then ends with the next edit.
 */
import type { FromWorker, Inputs, ToWorker, ValueChange } from "../compute/protocol.js";

/** As much of a worker as is used of it. */
export interface WorkerPort {
  readonly post: (message: ToWorker) => void;
  readonly listen: (hear: (message: FromWorker) => void, broken: (words: string) => void) => void;
}

export interface Ports {
  readonly quick: WorkerPort;
  readonly thorough: WorkerPort;
}

export interface Schedule {
  readonly describe: () => void;
  /** Tells both workers what tests have shown; thorough work begins with it. */
  readonly evidence: (message: Extract<ToWorker, { kind: "evidence" }>) => void;
  /** Asks for every answer. @param isSeen whether the first look was given ahead already */
  readonly answer: (inputs: Inputs, focus: number, isSeen: boolean) => void;
  /** Tells which question is looked at, so that the first edit beside it is answered as fast as the next. */
  readonly lookAt: (focus: number) => void;
  /** Asks for a first look at a change; of many that wait, the newest is answered. */
  readonly ahead: (change: ValueChange, focus: number) => void;
  /** Asks the quick worker for the band of the histories of a stroke. */
  readonly histories: (message: Extract<ToWorker, { kind: "histories" }>) => void;
  /**
   * Asks for every answer to another state, once the present one has all of its own; an edit comes first, and
   * it begins again after it. Undefined: none is wanted any more.
   */
  readonly beside: (inputs: Inputs | undefined) => void;
  /** Asks the quick worker about the search for other parts. */
  readonly seek: (message: Extract<ToWorker, { kind: "seek" }>) => void;
  /** Asks the quick worker for a calculation note. */
  readonly note: (message: Extract<ToWorker, { kind: "note" }>) => void;
  /** Has a change written into a text, once nothing waits for its first look. */
  readonly write: (text: string, change: ValueChange) => void;
}

type Ahead = Extract<ToWorker, { kind: "ahead" }>;
type Write = Extract<ToWorker, { kind: "write" }>;

/** Time without an edit after which everything is worked out again [ms]. */
export const rest = 300;
/** Time in which the page of a question is painted before anything is made ready for it [ms]. */
export const arrival = 100;

/**
 * @param hear    what the workers say
 * @param broken  the words of a defect in one of them
 * @param counter shared with the thorough worker where the browser lets threads share memory: work ends within a sample
 */
export function schedule(
  { quick, thorough }: Ports,
  hear: (message: FromWorker) => void,
  broken: (words: string) => void,
  counter?: Int32Array,
): Schedule {
  let count = 0;
  /** The change that the quick worker looks at, those that wait for it, and the one to be written then. */
  let looking: Ahead | undefined;
  const waiting: Ahead[] = [];
  let writing: Write | undefined;
  /** How the quick worker, which knows the value that stood there before, would write a change. */
  let words: { readonly turn: number; readonly text: string } | undefined;
  /** What the thorough worker is to answer, and the key of the first look that it waits for. */
  let asked: { readonly inputs: Inputs; readonly focus: number } | undefined;
  let firstLook: string | undefined;
  let hasEvidence = false;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let ready: ReturnType<typeof setTimeout> | undefined;
  /** The key that the thorough worker works on. */
  let working: string | undefined;
  /** The other state whose answers are wanted. */
  let other: Inputs | undefined;

  /** The thorough worker is started by what is first said to it: the page's first answer has the machine to itself. */
  let isGreeted = false;
  const sayThorough = (message: ToWorker): void => {
    if (!isGreeted && counter !== undefined) thorough.post({ kind: "counter", counter });
    isGreeted = true;
    thorough.post(message);
  };

  const stop = (): void => {
    clearTimeout(timer);
    if (working === undefined) return;
    working = undefined;
    count++;
    if (counter !== undefined) Atomics.store(counter, 0, count);
    sayThorough({ kind: "stop" });
  };
  const begin = (): void => {
    if (asked === undefined || firstLook !== undefined || looking !== undefined || !hasEvidence) return;
    working = asked.inputs.key;
    sayThorough({ kind: "answer", ...asked, count });
    asked = undefined;
  };
  const beginBeside = (): void => {
    const isBusy = working !== undefined || asked !== undefined || looking !== undefined || !hasEvidence;
    if (other === undefined || isBusy) return;
    working = other.key;
    sayThorough({ kind: "answer", inputs: other, focus: 1, count, isBeside: true });
  };
  /** The thorough worker has said its last word of what it worked on. */
  const rested = (key: string | undefined): void => {
    if (key === undefined || key !== working) return;
    working = undefined;
    if (other?.key === key) other = undefined;
    beginBeside();
  };
  const beginAfter = (pause: number): void => {
    clearTimeout(timer);
    timer = setTimeout(begin, pause);
  };
  const next = (): void => {
    looking = waiting.shift();
    if (looking !== undefined) quick.post(looking);
    else if (writing !== undefined) {
      const value = words?.turn === writing.turn ? { text: words.text } : writing.value;
      sayThorough({ ...writing, value });
      writing = undefined;
    }
  };

  const defect = (words: string): void =>
    broken(`A defect of this program: ${words}. Load the page again; what was typed is kept.`);
  quick.listen((message) => {
    const isRefusedChange = message.kind === "refused" && message.turn !== undefined;
    // What cannot be answered ahead is written all the same: the fault is then found at its place in the file.
    if (!isRefusedChange) hear(message);
    if (message.kind === "ahead" && message.text !== undefined)
      words = { turn: message.turn, text: message.text };
    if (message.kind === "ahead" || isRefusedChange) next();
    if ((message.kind === "answers" || message.kind === "refused") && message.key === firstLook) {
      firstLook = undefined;
      beginAfter(0);
    }
  }, defect);
  thorough.listen((message) => {
    hear(message);
    if (message.kind === "refused" || (message.kind === "answers" && message.isLast)) rested(message.key);
  }, defect);
  return {
    describe: () => sayThorough({ kind: "describe" }),
    evidence: (message) => {
      stop();
      hasEvidence = true;
      quick.post(message);
      sayThorough(message);
    },
    answer: (inputs, focus, isSeen) => {
      stop();
      asked = { inputs, focus };
      firstLook = isSeen ? undefined : inputs.key;
      if (isSeen) beginAfter(rest);
      else quick.post({ kind: "answer", inputs, focus });
    },
    lookAt: (focus) => {
      clearTimeout(ready);
      ready = setTimeout(() => {
        // What waits for an answer comes first, and makes it ready by itself.
        if (looking === undefined && firstLook === undefined) quick.post({ kind: "ready", focus });
      }, arrival);
    },
    ahead: (change, focus) => {
      stop();
      // What was asked for is of the state before this change: the next one is asked for when it is written.
      asked = undefined;
      // Of a slider's many places only the newest counts; changes of two fields are both needed.
      if (waiting.at(-1)?.path === change.path) waiting.pop();
      waiting.push({ kind: "ahead", ...change, focus });
      if (looking === undefined) next();
    },
    histories: (message) => quick.post(message),
    beside: (inputs) => {
      if (other !== undefined && working === other.key && other.key !== inputs?.key) stop();
      other = inputs;
      beginBeside();
    },
    seek: (message) => quick.post(message),
    note: (message) => quick.post(message),
    write: (text, change) => {
      writing = { kind: "write", text, ...change };
      if (looking === undefined) next();
    },
  };
}
