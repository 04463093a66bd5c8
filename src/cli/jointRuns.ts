/**
 * Several runs held against the valve together, from what was declared before any of them was fitted, each
 * at the conditions as tested.
 */
import { applyDefaults, type Dossier, editValveText, readDossier } from "../dossier/index.js";
import {
  beforeFits,
  type JointInput,
  type JointReconciliation,
  jointRefusals,
  mostChainSteps,
  type Proposal,
  proposalsFor,
  reconcileJointly,
  samplePosterior,
  updateJointly,
} from "../evidence/index.js";
import { Refusal } from "../fault/index.js";
import type { OpenDossier } from "../host/index.js";
import { startChainWorkers } from "../host/index.js";
import { closingDefinition, openingDefinition, type Plan, planFor } from "../predict/index.js";
import type { Desk } from "./command.js";
import type { HeldRun } from "./heldRun.js";
import { type FileAsTested, fileAsTested } from "./testedPrediction.js";

export interface JointOptions {
  readonly isSampled: boolean;
  readonly seed: number;
  readonly workers: number;
}

/** @param held runs that can be used; a log that was imported twice counts once */
export async function heldJointly(
  open: OpenDossier,
  held: readonly HeldRun[],
  { isSampled, seed, workers: count }: JointOptions,
  { signal, progress }: Pick<Desk, "signal" | "progress">,
): Promise<JointReconciliation | undefined> {
  const once = held.filter(
    ({ run }, i) =>
      held.findIndex((one) => one.run.record.original.sha256 === run.record.original.sha256) === i,
  );
  if (once.length < (isSampled ? 1 : 2)) return undefined;
  const ids = once.flatMap(({ sameLog }) => sameLog);
  const changes = beforeFits(open.dossier, ids);
  const dossier = changes.length === 0 ? open.dossier : editedDossier(open, changes);
  const planned = once.map(({ run, stroke, test }) => {
    const declared = planFor(applyDefaults(dossier, run.record.case).dossier, run.record.case);
    return { stroke, declared, tested: fileAsTested(declared, test) };
  });
  const runs = planned.map(({ stroke, declared, tested }): JointInput => {
    const leading = stroke.sense === "opening" ? openingDefinition : closingDefinition;
    return { plan: tested.plan, stroke, definition: leading(declared.dossier) };
  });
  const told = (joint: JointReconciliation): JointReconciliation => ({
    ...joint,
    proposals: proposalsBeside(planned, joint),
  });
  signal.throwIfAborted();
  const joint = updateJointly(runs);
  signal.throwIfAborted();
  const putBack = changes.map(({ path }) => path);
  if (!isSampled) return told(reconcileJointly(runs, joint, putBack));
  const workers = startChainWorkers(runs, {
    count,
    signal,
    mostSteps: mostChainSteps,
    onProgress: (done) => progress.tell("sampling the posterior", done),
  });
  try {
    const sampled = await samplePosterior(joint.update, seed, workers.run);
    return told(reconcileJointly(runs, joint, putBack, sampled));
  } finally {
    await workers.stop();
  }
}

interface Planned {
  readonly declared: Plan;
  readonly tested: FileAsTested;
}

/** Written beside what the file has, not beside the readings of the tests; what was read of a test is its own. */
function proposalsBeside(planned: readonly Planned[], joint: JointReconciliation): readonly Proposal[] {
  const { inputs, runs } = joint;
  const read = new Set(planned.flatMap(({ tested }) => tested.conditions.map(({ path }) => path)));
  return proposalsFor(
    planned.map(({ declared }) => declared),
    inputs.filter(({ path }) => !read.has(path)),
    runs.map(({ runId }) => runId),
    jointRefusals(joint),
  );
}

function editedDossier(
  { files: { valve, parts } }: OpenDossier,
  changes: ReturnType<typeof beforeFits>,
): Dossier {
  const text = editValveText(
    valve.text,
    changes.map(({ path, value }) => ({ path, value })),
  );
  const { dossier, faults } = readDossier({ valve: { path: valve.path, text }, parts });
  if (faults.length > 0) throw new Refusal(faults);
  return dossier;
}
