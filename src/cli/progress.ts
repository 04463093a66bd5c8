/** One line on the terminal that says how far the work is and how long it still takes. */
import { elapsedSeconds, type Progress } from "../host/index.js";

export interface ProgressLine {
  readonly tell: (what: string, progress: Progress) => void;
  /** Takes the line away. */
  readonly clear: () => void;
}

/** Told at most this often [s]; the eye sees no more. */
const leastPause = 0.1;

/** @param stream  undefined where nobody watches */
export function progressLine(stream: NodeJS.WriteStream | undefined): ProgressLine {
  let last = Number.NEGATIVE_INFINITY;
  let isShown = false;
  return {
    tell: (what, { done, total, secondsLeft }) => {
      const now = elapsedSeconds();
      if (stream === undefined || now - last < leastPause) return;
      last = now;
      isShown = true;
      const share = Math.floor((100 * done) / total);
      stream.write(
        `\r\u001b[K${what}  ${String(share).padStart(3)} %  ${Number.isFinite(secondsLeft) ? `${timeLeft(secondsLeft)} left` : ""}`,
      );
    },
    clear: () => {
      if (isShown) stream?.write("\r\u001b[K");
      isShown = false;
    },
  };
}

/** Tells a parent process that asked to be told. */
export function progressMessages(send: (message: unknown) => void): ProgressLine {
  let last = Number.NEGATIVE_INFINITY;
  let lastWhat = "";
  return {
    tell: (what, { done, total, secondsLeft }) => {
      const now = elapsedSeconds();
      if (what === lastWhat && now - last < leastPause) return;
      last = now;
      lastWhat = what;
      const left = Number.isFinite(secondsLeft) ? secondsLeft : null;
      send({ progress: { what, done, total, secondsLeft: left } });
    },
    clear: () => undefined,
  };
}

function timeLeft(seconds: number): string {
  return seconds < 10 ? `${seconds.toFixed(1)} s` : `${Math.ceil(seconds)} s`;
}
