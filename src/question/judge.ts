/** Makes a check from a figure of the prediction: value, band, probability, verdict, or what is needed for them. */
import type { Matter } from "../predict/index.js";
import { preferredUnit } from "../quantity/index.js";
import {
  type Check,
  type CheckDefinition,
  type Criterion,
  type Limit,
  marginTo,
  verdictOf,
} from "./check.js";
import { bandFor, type Context, chanceOf, nominalValue } from "./context.js";

/** How a check is judged in one prediction. */
export interface Judging {
  /** Column of the prediction that is the value. */
  readonly column: string;
  /** Undefined where the limit is not known. */
  readonly limit: Limit | undefined;
  /** What must be answerable for the value. */
  readonly matter: Matter;
  /** Fields of the limit, or of the value beside its matter, that are missing. */
  readonly needs: readonly string[];
  /** What is needed where every field is given and the value does not exist all the same. */
  readonly absent: string;
  /** Where meeting the limit is told by another column than the value: the limit is uncertain too. */
  readonly kept?: { readonly column: string; readonly limit: Pick<Limit, "most" | "least"> };
  /** `nominal` unless given. */
  readonly criterion?: Criterion;
  readonly unit?: string;
  readonly assumptions?: readonly string[];
  readonly standing?: Check["standing"];
}

/** Judges one check. */
export function judge(context: Context, definition: CheckDefinition, judging: Judging): Check {
  const { column, limit, matter, needs, absent, kept, standing = "judged" } = judging;
  const { prediction, wanted } = context;
  const value = nominalValue(context, column);
  const missing = [...new Set([...prediction.missing[matter], ...needs])];
  const unit = judging.unit ?? preferredUnit(value ?? limit?.most ?? limit?.least ?? 0, definition.dimension);
  const frame = { ...definition, unit, standing };
  const assumptions = [...definition.assumptions, ...(judging.assumptions ?? [])];
  if (value === undefined || limit === undefined || needs.length > 0) {
    return {
      ...frame,
      assumptions,
      kind: "unknown",
      verdict: "not known",
      needs: missing.length > 0 ? missing : [absent],
    };
  }
  const probability = chanceOf(context, kept?.column ?? column, kept?.limit ?? limit);
  return {
    ...frame,
    assumptions: probability === undefined ? [...assumptions, nominalAlone] : assumptions,
    kind: "known",
    verdict: verdictOf(value, limit, probability, wanted, judging.criterion),
    value,
    band: bandFor(context, column),
    ...(probability === undefined ? { isNominal: true } : {}),
    limit,
    margin: marginTo(value, limit),
    probability,
    wanted,
  };
}

const nominalAlone =
  "No band was computed: the nominal values alone decide, and the declared uncertainties do not count.";

/** Paths of the fields that are not given. */
export function missingOf(fields: Readonly<Record<string, unknown>>): readonly string[] {
  return Object.entries(fields).flatMap(([path, given]) => (given === undefined ? [path] : []));
}
