/**
 * A closer look at a choice: the peaks of breakaway, jam, stop and locked rotor on the compliant train, at
 * the nominal values, against what stages and stem bear for a moment. Too slow for every candidate; made
 * for those of the front that are shown.
 */
import { applyDefaults, withParts } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { marginFigure, OwnAnswers } from "../predict/index.js";
import type { SeekPlan } from "./plan.js";
import { choiceAt, partsOf } from "./space.js";

/** Least margins over the peaks, less one; null where stiffness, inertia or what a part bears is not known. */
export interface PeakMargins {
  readonly index: number;
  readonly stages: number | null;
  readonly stem: number | null;
}

/** The margins of a choice over the peaks. */
export function peakMargins({ order, declared, space }: SeekPlan, index: number): PeakMargins {
  const { dossier } = applyDefaults(
    withParts(declared, partsOf(space, choiceAt(space, index))),
    order.caseId,
  );
  try {
    const { elements, figures } = new OwnAnswers(dossier, order.caseId, { seed: order.seed, samples: 0 })
      .strength;
    const least = (isOf: (carries: string, kind: string) => boolean): number | null => {
      const margins = elements
        .filter(({ carries, kind }) => isOf(carries, kind))
        .map(({ id }) => figures.nominal[marginFigure(id)] ?? Number.NaN);
      const found = margins.length === 0 ? Number.NaN : Math.min(...margins);
      return Number.isFinite(found) ? found : null;
    };
    return {
      index,
      stages: least((carries, kind) => carries.startsWith("drive.stages") && kind === "momentary"),
      stem: least((carries) => carries === "valve.stem"),
    };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return { index, stages: null, stem: null };
  }
}
