/** Updated values as a person would write them in the valve file: a proposal, written only when accepted. */
import { normalQuantile } from "../../numerics/index.js";
import type { Plan } from "../../predict/index.js";
import { type Declared, formatUncertain } from "../../quantity/index.js";
import { fittedTo, fittedWords } from "./fitted.js";
import { isCondition } from "./parameters.js";
import type { Reconciliation } from "./reconcile.js";
import type { UpdatedInput } from "./updated.js";

export interface Proposal {
  readonly path: string;
  /** As it stands in the file. */
  readonly now: string;
  /** As it would stand there. */
  readonly proposed: string;
  readonly because: string;
  /** Why the update it comes from does not stand; none where it stands, and only then it is proposed. */
  readonly refusals: readonly string[];
}

/** A value moved less than this many declared uncertainties, and narrowed less than this, stays as it is. */
const noticeableShift = 0.3;
const noticeableNarrowing = 0.9;
/** A dimension of a part was measured with a gauge: a test speaks against it beyond its 95 % only. */
const noticeableShiftOfDimension = 2;
const central = normalQuantile(0.975);

/**
 * Proposals for the single values of the valve that a test has moved or narrowed; tables, and the
 * conditions of the test, are left to the user. An update that does not stand proposes nothing by itself;
 * its values are listed with why not. None where values were fitted to this test already: a
 * second fit would count the same data twice.
 * @param sameLog ids of the runs that hold the same log, this run's among them
 */
export function proposalsOf(
  plan: Plan,
  { inputs, runId, explained, refusals }: Reconciliation,
  sameLog: readonly string[] = [runId],
): readonly Proposal[] {
  if (fittedTo(plan.dossier, sameLog).length > 0) return [];
  return proposalsFor([plan], inputs, [runId], explained ? [] : refusals);
}

/**
 * Proposals of an update by these runs; what each of several has for itself is no value of the valve.
 * @param plans of the runs, made from the values it began from
 * @param refusals why the update does not stand; none where it stands
 */
export function proposalsFor(
  plans: readonly Plan[],
  inputs: readonly UpdatedInput[],
  runIds: readonly string[],
  refusals: readonly string[],
): readonly Proposal[] {
  return inputs.flatMap((input): Proposal[] => {
    const known = plans.flatMap(({ space }) => space.inputs.filter(({ path }) => path === input.path))[0];
    const declared = known?.members[0]?.declared;
    if (input.runId !== undefined || isCondition(input.path)) return [];
    if (declared === undefined || known?.members.length !== 1) return [];
    if (!isNoticeable(input, declared)) return [];
    return [
      {
        path: input.path,
        now: declared.text,
        proposed: written(input, declared),
        because: fittedWords(runIds, declared.text, declared.because, refusals),
        refusals,
      },
    ];
  });
}

function isNoticeable({ narrowing, shift }: UpdatedInput, { dimension }: Declared): boolean {
  if (dimension === "length") return Math.abs(shift) >= noticeableShiftOfDimension;
  return narrowing <= noticeableNarrowing || Math.abs(shift) >= noticeableShift;
}

function written(input: UpdatedInput, declared: Declared): string {
  const deviation = (input.after.high - input.after.low) / (2 * central);
  return formatUncertain(
    input.after.value,
    deviation,
    declared.dimension,
    declared.unit === "" ? {} : { unit: declared.unit },
  );
}
