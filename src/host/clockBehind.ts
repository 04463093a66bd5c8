/**
 * A clock that stands behind what a dossier holds already. Whether a prediction was sealed before a test is told
 * by the times that machines wrote; one whose clock went back, or ran ahead before, can make an order that never was.
 */
import { type Notice, Refusal } from "../fault/index.js";
import { now } from "./clock.js";
import { readRunRecord, runIds } from "./runFolder.js";
import { readSealed } from "./sealedFolder.js";

/** Clocks of two machines that are set by a network agree within less [ms]. */
const agreement = 5 * 60_000;

/** Says so where the newest time in a dossier lies after the present. */
export async function clockNotices(folder: string): Promise<readonly Notice[]> {
  const present = now();
  const newest = (await timesIn(folder)).reduce<Written | undefined>(
    (last, one) => (last === undefined || one.ms > last.ms ? one : last),
    undefined,
  );
  if (newest === undefined || newest.ms - Date.parse(present) <= agreement) return [];
  return [
    {
      code: "clock-behind",
      text: `the clock of this machine says ${present}, and the dossier holds ${newest.words} at ${newest.at}: one of the two clocks was wrong. Whether a prediction was sealed before a test is told by such times; set the clock right, and give the hash of a prediction to somebody else before the test`,
    },
  ];
}

interface Written {
  readonly at: string;
  readonly ms: number;
  /** What was written then. */
  readonly words: string;
}

async function timesIn(folder: string): Promise<readonly Written[]> {
  const seals = await readSealed(folder).catch(ignoringRefusals);
  const runs = await Promise.all(
    (await runIds(folder)).map(async (id) => await readRunRecord(folder, id).catch(ignoringRefusals)),
  );
  const written = [
    ...(seals ?? []).map(({ made, case: of }) => ({
      at: made,
      words: `a prediction of ${of} that was sealed`,
    })),
    ...runs.flatMap((run) =>
      run === undefined
        ? []
        : [{ at: run.record.imported, words: `a run, ${run.record.id}, that was imported` }],
    ),
  ];
  return written.map((one) => ({ ...one, ms: Date.parse(one.at) })).filter(({ ms }) => Number.isFinite(ms));
}

/** What cannot be read is told by the command that needs it. */
function ignoringRefusals(thrown: unknown): undefined {
  if (!(thrown instanceof Refusal)) throw thrown;
  return undefined;
}
