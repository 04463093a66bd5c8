/** `coldturn reconcile`: runs held against the prediction; which assumption explains how much; what to change. */
import { type Fault, Refusal, refuse } from "../fault/index.js";
import { readSealed, restsOn, type StoredRun, writeFinding } from "../host/index.js";
import { acceptProposals, refuseFitted } from "./accept.js";
import type { Command } from "./command.js";
import { type HeldRun, heldRun } from "./heldRun.js";
import { openDossier, refuseFaulty } from "./openDossier.js";
import {
  folderArgument,
  folderIn,
  hasOption,
  requireWorkers,
  samplesIn,
  samplesOption,
  seedIn,
  seedOption,
  textOption,
  workersOption,
} from "./options.js";
import { reconcilePage } from "./reconcileText.js";
import { wantedRuns } from "./wantedRuns.js";

const usualSamples = 4000;

export const reconcileCommand: Command = {
  name: "reconcile",
  summary: "hold runs against the prediction, and say which assumption was wrong by how much",
  details: [
    "Holds each run against the newest prediction of its case that was sealed before the test, or, where there is none, against the valve file as it is. The finding is agrees, cannot tell or disagrees; agreement holds under the conditions of the test and says nothing of others.",
    "Then it moves the declared inputs, within what was declared, until they explain the measured histories: which of them accounts for how many milliseconds, which this test could not tell apart, and when none of them explains it.",
    "Updated values are proposed. With --accept those of one run are written into valve.yaml, comments and order kept, each with where it comes from.",
  ],
  arguments: [folderArgument],
  options: [
    { flags: "--run <id>", description: "the run to look at (default: all of them)" },
    { flags: "--accept", description: "write the proposed values of this run into valve.yaml" },
    samplesOption(usualSamples),
    seedOption,
    workersOption,
  ],
  examples: [
    { command: "coldturn reconcile demo/petrel-oxygen-main", says: "All runs of the demo valve:" },
    {
      command: "coldturn reconcile oxygen-main --run 2031-04-18-dry-ambient-01 --accept",
      says: "One run, and its updated values into valve.yaml:",
    },
  ],
  act: async (input, desk) => {
    requireWorkers(input);
    const options = { seed: seedIn(input), samples: samplesIn(input, usualSamples), effectSamples: 0 };
    const open = await openDossier(folderIn(input), "duty");
    const isAccepting = hasOption(input, "accept");
    if (isAccepting) refuseFaulty(open);
    const runs = await wantedRuns(open, textOption(input, "run"));
    if (isAccepting && runs.length > 1) refuseSeveral(runs);
    if (isAccepting) for (const run of runs) await refuseFitted(open, run);
    const sealed = await readSealed(open.files.folder);
    const held: HeldRun[] = [];
    const faults: Fault[] = [...open.faults];
    for (const run of runs) {
      desk.signal.throwIfAborted();
      try {
        held.push(await heldRun(open, run, sealed, options, desk));
      } catch (thrown) {
        // A single run that cannot be used is told alone; of several, the others are still told.
        if (!(thrown instanceof Refusal) || runs.length === 1) throw thrown;
        faults.push(...thrown.faults);
      }
    }
    for (const { run, reconciliation, proposals } of held)
      await writeFinding(run, restsOn(open.files), { reconciliation, proposals });
    desk.signal.throwIfAborted();
    const accepted = isAccepting ? await acceptProposals(open, held) : undefined;
    const agreesAll =
      held.length > 0 && held.every(({ reconciliation }) => reconciliation.finding === "agrees");
    return {
      status: faults.length > 0 ? 2 : agreesAll ? 0 : 1,
      faults,
      result: {
        valve: open.dossier.valve.name ?? null,
        file: open.files.valve.path,
        options,
        runs: held.map(({ reconciliation, proposals, notices, answer }) => ({
          reconciliation,
          proposals,
          notices,
          answer,
        })),
        accepted: accepted ?? null,
      },
      text: (page) => reconcilePage(page, open, held, faults, accepted),
    };
  },
};

function refuseSeveral(runs: readonly StoredRun[]): never {
  refuse(
    "accept-which",
    `${runs.length} runs propose values`,
    "The values of one run are accepted at a time: the next one starts from what they changed.",
    `Name it, for example --run ${runs[0]?.record.id ?? ""}`,
  );
}
