/**
 * What the line feels of the valve in one case, with a small band of its own (docs/theory/line.md): the pressures of a
 * closing and an opening along the line by characteristics, with the valve's own motion, and how fast it may close.
 *
 * The motion moves the flow and the flow's torque moves the valve. At the nominal values the two are solved in turn: the
 * drop against opening that the waves give loads the stroke, whose motion gives the waves, until the time of the stroke
 * stands. A sample takes the drop of its own steady flow times the ratio of the two at the nominal values.
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { Gatherer } from "./gather.js";
import type { InputSpace } from "./inputs.js";
import { joinedSpace } from "./joinedSpace.js";
import { ownFigures, type Sampling } from "./ownBand.js";
import { isAnswerable, planFor } from "./plan.js";
import { gatherPriming, primingFigures } from "./priming.js";
import { type SurgeAnswer, surgeFigure, surgeIds } from "./surgeAnswer.js";
import { SurgeLine } from "./surgeLine.js";
import { Surges } from "./surgeRuns.js";

/** Samples: as many as show the wanted probability, and no more, since each follows waves. */
const mostSamples = 24;

/** Follows the line of a case. Refuses an unknown case. */
export function surgeOf(dossier: Dossier, caseId: string, sampling: Sampling): SurgeAnswer {
  const plan = planFor(dossier, caseId);
  const gather = new Gatherer<string>((path) => isFaulty(dossier, path));
  const line = new SurgeLine(dossier, plan, gather);
  const priming = gatherPriming(dossier, plan, gather);
  const missing = [...new Set([...plan.missing.motion, ...gather.missingFor("line")])];
  const missingPriming = gather.missingFor("priming");
  const space = withoutUnread(joinedSpace(plan.space, gather.space([], [])));
  const figureIds = [...surgeIds, ...primingFigures, ...line.places.map(surgeFigure)];
  const nothing = (unfit: string | undefined): SurgeAnswer => ({
    unfit,
    missing,
    missingPriming,
    places: line.places,
    figures: ownFigures(space, figureIds, { ...sampling, samples: 0 }, () => ({})),
    closing: undefined,
    opening: undefined,
    bounds: undefined,
    priming: undefined,
    behind: priming.state,
  });
  if (plan.medium.kind !== "liquid") return nothing("a case in which liquid flows");
  if (missing.length > 0 || !isAnswerable(plan, "motion")) return nothing(undefined);
  try {
    const surges = new Surges(plan, line, space, priming);
    const nominal = surges.nominal();
    return {
      ...nothing(undefined),
      ...nominal,
      figures: ownFigures(space, figureIds, { ...sampling, most: mostSamples }, (values) =>
        surges.figures(values),
      ),
    };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return nothing(thrown.faults.map(({ found }) => found).join("; "));
  }
}

/** Inputs of the plan that move neither stroke nor flow: in a band of few samples they would go with it by chance. */
const unread =
  /^(drive\.motor\.(winding_(?!limit)|case_)|duty\.cycles|valve\.cavitation_onset|drive\.position_sensor)/;

export function withoutUnread(space: InputSpace): InputSpace {
  const tied = space.copula?.dimensions ?? 0;
  return { ...space, inputs: space.inputs.filter(({ path }, j) => j < tied || !unread.test(path)) };
}
