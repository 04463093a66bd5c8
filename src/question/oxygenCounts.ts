/** What the checks of question 8 share: a plain count, and data that are of another oxidiser. */
import type { OwnFigures } from "../predict/index.js";
import type { Check, CheckDefinition, Limit } from "./check.js";
import type { Context } from "./context.js";
import { judgeOwn } from "./judgeOwn.js";
import { noDataOf } from "./oxygenFacts.js";

/** What stands in for the list of parts while there is none. */
export const everyPart = "oxygen.parts: every wetted part, lubricants too";

const none: OwnFigures = { nominal: {}, samples: {}, paths: [], points: new Float64Array(0), count: 0 };

/** A check of a plain count, or of a share that is none. */
export function counted(
  context: Context,
  definition: CheckDefinition,
  count: number,
  limit: Limit,
  assumptions: readonly string[] = [],
  counts: "parts" | "pairs" | "%" = "parts",
): Check {
  return judgeOwn(definition, {
    figures: { ...none, nominal: { count } },
    figure: "count",
    limit,
    wanted: context.wanted,
    unit: counts,
    assumptions,
  });
}

/** Whether data of limits and materials are of the oxidiser that this valve meets. */
export function noData(context: Context): readonly string[] {
  const { service } = context.own.oxygen;
  return service.kind === "oxidiser" && !service.isOnFile ? [noDataOf(service.name)] : [];
}
