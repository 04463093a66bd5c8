/** Updated values as a person would write them in the valve file: a proposal, written only when accepted. */
import { normalQuantile } from "../../numerics/index.js";
import type { Plan } from "../../predict/index.js";
import { type Declared, formatUncertain } from "../../quantity/index.js";
import { fittedMark, fittedTo } from "./fitted.js";
import type { Reconciliation } from "./reconcile.js";
import { type UpdatedInput, untouchedNarrowing } from "./updated.js";

export interface Proposal {
  readonly path: string;
  /** As it stands in the file. */
  readonly now: string;
  /** As it would stand there. */
  readonly proposed: string;
  readonly because: string;
}

/** A shift below this many declared uncertainties does not change a value. */
const noticeableShift = 0.2;
const central = normalQuantile(0.975);

/**
 * Proposals for the single values that the test has moved or narrowed; tables are left to the user.
 * None where values were fitted to this test already: a second fit would count the same data twice.
 * @param sameLog ids of the runs that hold the same log, this run's among them
 */
export function proposalsOf(
  plan: Plan,
  reconciliation: Reconciliation,
  sameLog: readonly string[] = [reconciliation.runId],
): readonly Proposal[] {
  if (fittedTo(plan.dossier, sameLog).length > 0) return [];
  return reconciliation.inputs.flatMap((input): Proposal[] => {
    const members = plan.space.inputs.find(({ path }) => path === input.path)?.members ?? [];
    const declared = members[0]?.declared;
    if (declared === undefined || members.length !== 1) return [];
    if (input.narrowing > untouchedNarrowing && Math.abs(input.shift) < noticeableShift) return [];
    return [
      {
        path: input.path,
        now: declared.text,
        proposed: written(input, declared),
        because: `${fittedMark(reconciliation.runId)} was ${declared.text}${earlierFit(declared)}`,
      },
    ];
  });
}

/** A later fit keeps the words of the earlier one, so that neither test is counted again. */
function earlierFit({ because }: Declared): string {
  return because?.startsWith("fitted to run ") === true ? `; before that ${because}` : "";
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
