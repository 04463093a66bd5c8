/** The two workers: a quick one for what an edit moves at once, a thorough one for everything. */
import type { FromWorker, Inputs, NewValue, ToWorker } from "../compute/protocol.js";

export interface Engine {
  /** Tells both workers. */
  readonly tell: (message: ToWorker) => void;
  readonly answer: (inputs: Inputs, focus: number) => void;
  readonly ahead: (turn: number, path: string, value: NewValue, focus: number) => void;
  readonly histories: (texts: Inputs["texts"], caseId: string, sense: "opening" | "closing") => void;
  readonly write: (turn: number, text: string, path: string, value: NewValue) => void;
}

/** @param hear what the workers say; @param broken the words of a defect in one of them */
export function startEngine(hear: (message: FromWorker) => void, broken: (words: string) => void): Engine {
  const quick = new Worker(new URL("../compute/answerWorker.ts", import.meta.url), {
    type: "module",
    name: "quick",
  });
  const thorough = new Worker(new URL("../compute/answerWorker.ts", import.meta.url), {
    type: "module",
    name: "thorough",
  });
  let isAhead = false;
  let waiting: ToWorker | undefined;
  const send = (worker: Worker, message: ToWorker): void => worker.postMessage(message);
  // Of a slider's many places the newest is answered, as soon as the one before it is.
  const next = (): void => {
    isAhead = waiting !== undefined;
    if (waiting !== undefined) send(quick, waiting);
    waiting = undefined;
  };
  quick.onmessage = ({ data }: MessageEvent<FromWorker>) => {
    const isRefused = data.kind === "refused" && data.turn !== undefined;
    if (data.kind === "ahead" || isRefused) next();
    // What cannot be answered ahead is written all the same: the fault is then found at its place in the file.
    if (!isRefused) hear(data);
  };
  thorough.onmessage = ({ data }: MessageEvent<FromWorker>) => hear(data);
  for (const worker of [quick, thorough])
    worker.onerror = ({ message }) =>
      broken(`A defect of this program: ${message}. Load the page again; what was typed is kept.`);
  return {
    tell: (message) => {
      send(quick, message);
      send(thorough, message);
    },
    answer: (inputs, focus) => {
      send(quick, { kind: "answer", inputs, focus });
      send(thorough, { kind: "answer", inputs, focus });
    },
    ahead: (turn, path, value, focus) => {
      waiting = { kind: "ahead", turn, path, value, focus };
      if (!isAhead) next();
    },
    histories: (texts, caseId, sense) => send(quick, { kind: "histories", texts, caseId, sense }),
    write: (turn, text, path, value) => send(thorough, { kind: "write", turn, text, path, value }),
  };
}
