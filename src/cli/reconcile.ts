/** `coldturn reconcile`: runs held against the prediction; which assumption explains how much; what to change. */
import {
  fittedCorrelations,
  type JointReconciliation,
  type Proposal,
  togetherIn,
} from "../evidence/index.js";
import { type Fault, nearName, Refusal, refuse } from "../fault/index.js";
import {
  keepMeasuredTimes,
  type OpenDossier,
  openDossier,
  readSealed,
  refuseFaulty,
  restsOn,
  type StoredRun,
  wantedRuns,
  writeFinding,
  writeJointFinding,
  writeSealedFinding,
} from "../host/index.js";
import { acceptProposals, refuseFitted, refuseUnexplained } from "./accept.js";
import type { Command } from "./command.js";
import { type HeldRun, heldRun } from "./heldRun.js";
import { heldJointly } from "./jointRuns.js";
import {
  folderArgument,
  folderIn,
  hasOption,
  samplesIn,
  samplesOption,
  seedIn,
  seedOption,
  textsOption,
  workersIn,
  workersOption,
} from "./options.js";
import { reconcilePage } from "./reconcileText.js";
import { withNotices } from "./withNotices.js";

const usualSamples = 4000;

export const reconcileCommand: Command = {
  name: "reconcile",
  summary: "hold runs against the prediction, and say which assumption was wrong by how much",
  details: [
    "Holds each run against the newest prediction of its case that was sealed before the test, or, where there is none, against the valve file as it is. The finding is agrees, cannot tell or disagrees; agreement holds under the conditions of the test and says nothing of others.",
    "Then it moves the declared inputs, within what was declared, until they explain the measured histories: which of them accounts for how many milliseconds, which this test could not tell apart, and when none of them explains it.",
    "Several runs, all of them or those named, are also held against the valve together: one set of values for what they share, each with its own temperatures, dwell, pressure and battery voltage. That begins from what was declared before any of them was fitted, so that no test counts twice.",
    "With --sample the posterior of these values is sampled by chains on all processors, and said to have converged or not; without it the spreads are those of a linear model about the best values.",
    "Updated values are proposed. With --accept they are written into valve.yaml, comments and order kept, each with where it comes from: those of one run, or those of several runs together. An update that does not stand proposes nothing, and --accept refuses it; with --although-it-does-not-stand its values are written, and each says so.",
  ],
  arguments: [folderArgument],
  options: [
    {
      flags: "--run <id>",
      description: "a run to look at; may be given several times (default: all of them)",
      isRepeated: true,
    },
    { flags: "--sample", description: "sample the posterior of the inputs, some ten seconds a run" },
    { flags: "--accept", description: "write the proposed values into valve.yaml" },
    {
      flags: "--only <path>",
      description: "with --accept: write this value alone; may be given several times (default: all of them)",
      isRepeated: true,
    },
    {
      flags: "--although-it-does-not-stand",
      description: "with --accept: write also the values of an update that does not stand; each says so",
    },
    samplesOption(usualSamples),
    seedOption,
    workersOption,
  ],
  examples: [
    {
      command: "coldturn reconcile demo/petrel-oxygen-main",
      says: "All runs of the demo valve, one by one and together:",
    },
    {
      command: "coldturn reconcile oxygen-main --run 2031-04-18-dry-ambient-01 --accept",
      says: "One run, and its updated values into valve.yaml:",
    },
  ],
  act: async (input, desk) => {
    const options = { seed: seedIn(input), samples: samplesIn(input, usualSamples), effectSamples: 0 };
    const open = await openDossier(folderIn(input), "duty");
    const isAccepting = hasOption(input, "accept");
    if (isAccepting) refuseFaulty(open);
    const runs = await chosenRuns(open, textsOption(input, "run"));
    const [only] = runs;
    if (isAccepting && runs.length === 1 && only !== undefined) await refuseFitted(open, only);
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
    const joint = await heldJointly(
      open,
      held,
      { isSampled: hasOption(input, "sample"), seed: options.seed, workers: workersIn(input) },
      desk,
    );
    desk.signal.throwIfAborted();
    const files = restsOn(open.files);
    for (const { run, stroke, reconciliation, proposals, sealedFinding } of held) {
      await writeFinding(run, files, { reconciliation, proposals });
      await keepMeasuredTimes(open, run, stroke);
      if (sealedFinding !== undefined) await writeSealedFinding(run, reconciliation.model, sealedFinding);
    }
    if (joint !== undefined) await writeJointFinding(runs, files, joint);
    desk.signal.throwIfAborted();
    // A run that is there twice, or the only one of several that can be used, speaks for itself.
    const isJoint = joint !== undefined && runs.length > 1;
    const proposals = chosenProposals(
      isJoint ? joint.proposals : (held[0]?.proposals ?? []),
      isAccepting ? textsOption(input, "only") : [],
    );
    if (isAccepting && !hasOption(input, "although-it-does-not-stand")) refuseUnexplained(open, proposals);
    const left = isJoint ? leftJointly(joint) : held[0]?.reconciliation.update;
    const ids = isJoint ? joint.runs.map(({ runId }) => runId) : runs.map(({ record }) => record.id);
    const together =
      left === undefined ? [] : fittedCorrelations(proposals, left, ids, togetherIn(open.dossier));
    const accepted = isAccepting ? await acceptProposals(open, proposals, together) : undefined;
    const agreesAll =
      held.length > 0 &&
      held.every(
        ({ reconciliation, sealedFinding }) =>
          reconciliation.finding === "agrees" && (sealedFinding?.finding ?? "agrees") === "agrees",
      );
    return withNotices(open, {
      status: faults.length > 0 ? 2 : agreesAll ? 0 : 1,
      faults,
      result: {
        valve: open.dossier.valve.name ?? null,
        file: open.files.valve.path,
        options,
        runs: held.map(({ reconciliation, proposals, sealedFinding, notices, answer }) => ({
          reconciliation,
          proposals,
          sealedFinding: sealedFinding ?? null,
          notices,
          answer,
        })),
        joint: joint ?? null,
        accepted: accepted ?? null,
      },
      text: (page) => reconcilePage(page, open, { held, joint, proposals, accepted }, faults),
    });
  },
};

/** The proposals for the named values, or all. Refuses a value for which nothing is proposed. */
function chosenProposals(all: readonly Proposal[], only: readonly string[]): readonly Proposal[] {
  const paths = all.map(({ path }) => path);
  const unknown = only.find((path) => !paths.includes(path));
  if (unknown === undefined) return only.length === 0 ? all : all.filter(({ path }) => only.includes(path));
  return refuse(
    "accept-not-proposed",
    `no value is proposed for "${unknown}"`,
    paths.length === 0 ? "The update proposes no values." : `Values are proposed for ${paths.join(", ")}.`,
    "Name one of them behind --only, or leave --only out",
    nearName(unknown, paths),
  );
}

/** The named runs, or all of them, oldest first. */
async function chosenRuns(open: OpenDossier, ids: readonly string[]): Promise<readonly StoredRun[]> {
  if (ids.length === 0) return await wantedRuns(open, undefined);
  const runs = await Promise.all([...new Set(ids)].map((id) => wantedRuns(open, id)));
  const dateOf = ({ record }: StoredRun): number => Date.parse(record.date ?? record.imported);
  return runs.flat().sort((a, b) => dateOf(a) - dateOf(b));
}

/** What a joint update leaves: of the sampled posterior where that has converged, as the proposed values are. */
function leftJointly({ update, sampled }: JointReconciliation) {
  return sampled?.converged === true ? { ...update, covariance: sampled.covariance } : update;
}
