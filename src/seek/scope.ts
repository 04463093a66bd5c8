/** What a search would try, and by which limits, before it is run. */
import { limitsOf, type SeekLimit } from "./answer.js";
import type { Unlimited } from "./criteria.js";
import { type SeekOrder, seekOrder, usualSeekSamples } from "./order.js";
import { seekPlan } from "./plan.js";

/** One kind of part, with the names of what may stand in its place. */
export interface TriedPlace {
  readonly place: "valve" | "motor" | "stage" | "battery" | "command";
  /** "as declared" among them where the declared one is kept in the list. */
  readonly options: readonly string[];
}

export interface SeekScope {
  readonly caseId: string;
  readonly candidates: number;
  /** Probability with which each limit must be met [-]. */
  readonly wanted: number;
  /** Samples of each band. */
  readonly samples: number;
  readonly places: readonly TriedPlace[];
  readonly leastStages: number;
  readonly mostStages: number;
  readonly chains: number;
  readonly limits: readonly SeekLimit[];
  readonly unlimited: readonly Unlimited[];
}

/** The scope of a search. Refuses what the search itself would refuse. */
export function seekScope({
  valve,
  parts,
  caseId,
}: Pick<SeekOrder, "valve" | "parts" | "caseId">): SeekScope {
  // Without samples the plan is made in some hundredths of a second: the tables have the nominal values alone.
  const { space, criteria, declared } = seekPlan(seekOrder({ valve, parts, caseId, seed: 1, samples: 0 }));
  const names = (options: readonly { readonly name: string }[]) => options.map(({ name }) => name);
  return {
    caseId,
    candidates: space.count,
    wanted: criteria.wanted,
    samples: usualSeekSamples(declared),
    places: [
      { place: "valve", options: names(space.valves) },
      { place: "motor", options: names(space.motors) },
      { place: "stage", options: names(space.stages) },
      { place: "battery", options: names(space.batteries) },
      { place: "command", options: names(space.commands) },
    ],
    leastStages: space.leastStages,
    mostStages: space.mostStages,
    chains: space.chains,
    limits: limitsOf(criteria.list),
    unlimited: criteria.unlimited,
  };
}
