/** Several runs held against the valve together, from what was declared before any of them was fitted. */
import { applyDefaults, type Dossier, editValveText, readDossier } from "../dossier/index.js";
import {
  beforeFits,
  type JointInput,
  type JointReconciliation,
  mostChainSteps,
  reconcileJointly,
  samplePosterior,
  updateJointly,
} from "../evidence/index.js";
import { Refusal } from "../fault/index.js";
import { startChainWorkers } from "../host/index.js";
import { closingDefinition, openingDefinition, planFor } from "../predict/index.js";
import type { Desk } from "./command.js";
import type { HeldRun } from "./heldRun.js";
import type { OpenDossier } from "./openDossier.js";

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
  const runs = once.map(({ run, stroke }): JointInput => {
    const filled = applyDefaults(dossier, run.record.case).dossier;
    return {
      plan: planFor(filled, run.record.case),
      stroke,
      definition: stroke.sense === "opening" ? openingDefinition(filled) : closingDefinition(filled),
    };
  });
  signal.throwIfAborted();
  const joint = updateJointly(runs);
  signal.throwIfAborted();
  const putBack = changes.map(({ path }) => path);
  if (!isSampled) return reconcileJointly(runs, joint, putBack);
  const workers = startChainWorkers(runs, {
    count,
    signal,
    mostSteps: mostChainSteps,
    onProgress: (done) => progress.tell("sampling the posterior", done),
  });
  try {
    const sampled = await samplePosterior(joint.update, seed, workers.run);
    return reconcileJointly(runs, joint, putBack, sampled);
  } finally {
    await workers.stop();
  }
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
