/** What fields entered with a fault do to checks, whichever question makes them. */
import { type Check, isWithin } from "./check.js";
import { type Context, faultsAmong } from "./context.js";

const probability = "duty.probability";

/**
 * A check as the faults of the file leave it. Without the wanted probability nobody can say that a limit
 * met by the nominal value is kept; one that is not met fails at any. What is not known says which of
 * its needs were entered with a fault.
 */
export function withFaults(context: Context, check: Check): Check {
  const waits = check.kind === "known" && Number.isNaN(context.wanted) && asksProbability(check);
  if (!waits) return check.kind === "unknown" ? marked(context, check) : check;
  const {
    value: _,
    band: __,
    limit: ___,
    margin: ____,
    probability: _____,
    wanted: ______,
    ...frame
  } = check;
  return marked(context, { ...frame, kind: "unknown", verdict: "not known", needs: [probability] });
}

function asksProbability({ value, limit, probability: chance }: Extract<Check, { kind: "known" }>): boolean {
  const isNumber = [value, limit.most ?? 0, limit.least ?? 0].every((each) => !Number.isNaN(each));
  return !isNumber || (chance !== undefined && isWithin(value, limit));
}

function marked(context: Context, check: Extract<Check, { kind: "unknown" }>): Check {
  const faulty = faultsAmong(context, check.needs);
  return faulty.length === 0 ? check : { ...check, faulty };
}
