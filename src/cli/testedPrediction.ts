/** A sealed prediction, and the valve file, at the conditions under which a run was made. */
import type { Dossier } from "../dossier/index.js";
import {
  atTestedConditions,
  type HeldAsTested,
  type HeldPrediction,
  heldFromBand,
  heldFromSeal,
  type SealedPrediction,
  type TestedCondition,
  type TestedLog,
  withSealedValues,
} from "../evidence/index.js";
import { type Notice, Refusal } from "../fault/index.js";
import { isAnswerable, type Plan, type PredictionOptions, planFor, predict } from "../predict/index.js";
import { formatQuantity } from "../quantity/index.js";
import type { Desk } from "./command.js";
import { milliseconds } from "./timeText.js";

/** The valve file with the conditions of a test in it. */
export interface FileAsTested {
  readonly plan: Plan;
  readonly conditions: readonly TestedCondition[];
  readonly notices: readonly Notice[];
}

/**
 * Puts the measured conditions into the file.
 * @param plan as declared; it is returned where nothing was measured, or cannot be predicted at
 */
export function fileAsTested(plan: Plan, test: TestedLog): FileAsTested {
  const { dossier, caseId } = plan;
  const { dossier: tested, conditions } = atTestedConditions(dossier, caseId, test);
  if (conditions.length === 0) return { plan, conditions, notices: [] };
  try {
    const at = planFor(tested, caseId);
    if (isAnswerable(at, "motion")) return { plan: at, conditions, notices: [] };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
  }
  const text = `the measured conditions (${conditions.map(shortWords).join(", ")}) cannot be predicted at: the run is held at the conditions as declared in the case`;
  return { plan, conditions: [], notices: [{ code: "conditions-not-usable", text }] };
}

/** Times that are the same but for rounding. */
const sameShare = 1e-6;

/**
 * A sealed prediction at the conditions of a test: predicted anew from its own values. Without measured
 * conditions, and where its values do not give the sealed time again, it is as it was sealed.
 * @param declared the valve file with its defaults applied;  @param changed paths that differ from the seal
 */
export async function sealedAsTested(
  seal: SealedPrediction,
  declared: Dossier,
  changed: readonly string[],
  test: TestedLog,
  options: PredictionOptions,
  desk: Desk,
): Promise<{ readonly held: HeldPrediction; readonly notices: readonly Notice[] }> {
  const { sense } = test;
  const held = heldFromSeal(seal, sense);
  const valve = withSealedValues(declared, seal, changed);
  const { conditions, dossier } = atTestedConditions(valve ?? declared, seal.case, test);
  if (conditions.length === 0 || options.samples === 0) return { held, notices: [] };
  const asSealed = (why: string) => ({
    held,
    notices: [
      {
        code: "seal-not-moved",
        text: `the sealed prediction stands at the conditions as declared in the case, though some were measured: ${why}`,
      },
    ],
  });
  if (valve === undefined) return asSealed("its values cannot be put back into the valve file as it is now");
  const few = { ...options, samples: 0, effectSamples: 0 };
  try {
    const again = await predict(valve, seal.case, few, desk.run);
    if (!isSame(again.nominal[sense]?.times_s ?? {}, held.times_s))
      return asSealed(`model ${again.model} does not give the time again that model ${seal.model} sealed`);
    const { band, nominal } = await predict(
      dossier,
      seal.case,
      { ...options, seed: seal.seed, effectSamples: 0 },
      desk.run,
    );
    if (band === undefined) return asSealed("there is no band at them");
    const asTested: HeldAsTested = { conditions, declaredTimes_s: held.times_s };
    return {
      held: { ...heldFromBand(band, sense, nominal[sense]?.times_s ?? {}, seal.sha256), asTested },
      notices: [],
    };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return asSealed(thrown.faults.map(({ found }) => found).join("; "));
  }
}

function isSame(a: Readonly<Record<string, number>>, b: Readonly<Record<string, number>>): boolean {
  return Object.entries(b).every(
    ([id, time]) => Math.abs((a[id] ?? Number.NaN) - time) <= sameShare * Math.abs(time),
  );
}

/** What was measured of the conditions, and by how much it moves the prediction. */
export function conditionsNotice(held: HeldPrediction, definition: string): Notice {
  const { asTested, sealed, times_s } = held;
  if (asTested === undefined)
    return {
      code: "conditions-as-declared",
      text: "conditions as declared in the case: neither the log nor run.yaml gives any that the prediction could be made at",
    };
  const { conditions, declaredTimes_s } = asTested;
  const before = declaredTimes_s[definition];
  const after = times_s[definition];
  const time = (seconds: number | undefined) =>
    seconds === undefined ? "no arrival" : milliseconds(seconds);
  const kept = conditions.some(({ keepsSpread }) => keepsSpread)
    ? "; where the uncertainty of a reading is not known, the declared spread is kept around it"
    : "";
  return {
    code: "conditions-as-tested",
    text: `${sealed === undefined ? "as declared" : "sealed"} ${time(before)}; at the conditions as tested ${time(after)}: ${conditions.map(fullWords).join("; ")}${kept}; conditions that were not measured are as declared in the case`,
  };
}

const shortWords = ({ path, testedText }: TestedCondition) => `${path} ${testedText}`;

function fullWords({ path, testedText, declared, dimension, declaredText, from }: TestedCondition): string {
  const was = declaredText === "" ? formatQuantity(declared, dimension, {}) : declaredText;
  return `${path} ${testedText} from ${from}, declared ${was}`;
}
