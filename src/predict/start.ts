/**
 * How the engine starts and stops in one case, with a small band of its own (docs/theory/start.md): this valve with the
 * motion of question 3, the other as declared, both propellants on their way to a chamber that burns.
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { Gatherer } from "./gather.js";
import { joinedSpace } from "./joinedSpace.js";
import { ownFigures, type Sampling } from "./ownBand.js";
import { isAnswerable, planFor } from "./plan.js";
import { type StartAnswer, startIds, startPoints } from "./startAnswer.js";
import { StartEngine } from "./startEngine.js";
import { Starts } from "./startRuns.js";
import { withoutUnread } from "./surge.js";

/** Samples: as many as show the wanted probability, and no more. */
const mostSamples = 24;

/** Starts and stops the engine of a case. Refuses an unknown case. */
export function startOf(dossier: Dossier, caseId: string, sampling: Sampling): StartAnswer {
  const plan = planFor(dossier, caseId);
  const gather = new Gatherer<string>((path) => isFaulty(dossier, path));
  const engine = new StartEngine(dossier, plan, gather);
  const missing = [...new Set([...plan.missing.motion, ...gather.missingFor("start")])];
  const space = withoutUnread(joinedSpace(plan.space, gather.space([], [])));
  const nothing = (unfit: string | undefined): StartAnswer => ({
    unfit,
    missing,
    missingOf: {
      stop: gather.missingFor("stop"),
      abort: gather.missingFor("abort"),
      own: gather.missingFor("engine.own.injector_drop"),
      partner: gather.missingFor("engine.partner.injector_drop"),
    },
    side: engine.side,
    figures: ownFigures(space, startIds, { ...sampling, samples: 0 }, () => ({})),
    runs: undefined,
    offsets: [],
    led: [],
    times: [],
  });
  if (plan.medium.kind !== "liquid" || plan.medium.fit.fluid !== dossier.valve.duty?.fluid)
    return nothing("a case in which the propellant of the duty flows");
  if (missing.length > 0 || !isAnswerable(plan, "motion")) return nothing(undefined);
  try {
    const starts = new Starts(plan, engine, space, {
      stops: gather.missingFor("stop").length === 0,
      aborts: gather.missingFor("abort").length === 0,
    });
    const runs = starts.nominal();
    const times = Array.from({ length: startPoints }, (_, k) => (starts.until * k) / (startPoints - 1));
    const figures = ownFigures(space, startIds, { ...sampling, most: mostSamples }, (values) =>
      starts.figures(values, times),
    );
    return { ...nothing(undefined), figures, runs, times, ...starts.tried(figures.samples) };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return nothing(thrown.faults.map(({ found }) => found).join("; "));
  }
}
