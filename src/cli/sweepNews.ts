/** What is told while a sweep runs elsewhere. */
import type { SweepOptions } from "../host/index.js";
import type { Desk } from "./command.js";

/** Progress, and lines on the standard error for what somebody may want to mend. */
export function sweepOptions(desk: Desk): SweepOptions {
  return {
    signal: desk.signal,
    onProgress: (progress) => desk.progress.tell("waiting for the workers", progress),
    onContact: (contact) =>
      note(
        desk,
        contact.kind === "away"
          ? `The database is out of reach (${contact.because}); it is waited for.`
          : `The database is back after ${contact.after_s.toFixed(1)} s.`,
      ),
    onNobody: () =>
      note(desk, "No worker has taken up the work yet; start one with `coldturn worker --on <address>`."),
  };
}

/** A line on the standard error, the line of progress taken away. */
export function note({ progress }: Pick<Desk, "progress">, text: string): void {
  progress.clear();
  process.stderr.write(`${text}\n`);
}
