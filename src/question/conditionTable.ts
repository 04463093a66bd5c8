/** At which conditions a prediction is held against a run: as tested where they were measured, else as declared. */
import type { HeldPrediction, Reconciliation } from "../evidence/index.js";
import { formatQuantity } from "../quantity/index.js";
import type { Table } from "./answer.js";
import { type Context, labelOf } from "./context.js";

/** Conditions of one run, declared and as tested. */
export function conditionTable(context: Context, { runId, sense, held }: Reconciliation): Table {
  const { asTested } = held;
  const title = `Run ${runId}, ${sense}: conditions it is held at`;
  if (asTested === undefined)
    return {
      title,
      columns: ["condition"],
      rows: [["conditions as declared in the case: none was measured"]],
    };
  return {
    title: `${title}; those not listed as declared in the case`,
    columns: ["condition", "declared", "as tested", "spread", "from"],
    rows: asTested.conditions.map(
      ({ path, declared, declaredText, dimension, testedText, keepsSpread, from }) => [
        labelOf(context, path),
        declaredText === "" || declaredText.startsWith("{")
          ? formatQuantity(declared, dimension, {})
          : declaredText,
        testedText,
        keepsSpread ? "as declared: that of the reading is not known" : "of the reading",
        from,
      ],
    ),
  };
}

/** Said behind a predicted time: " at the conditions as tested (sealed 337 ms)"; nothing where none was measured. */
export function conditionWords(
  { asTested, sealed }: Pick<HeldPrediction, "sealed"> & { readonly asTested?: HeldPrediction["asTested"] },
  definition: string,
  say: (seconds: number) => string,
): string {
  if (asTested === undefined) return "";
  const before = asTested.declaredTimes_s[definition];
  const time = before === undefined ? "no arrival" : say(before);
  return ` at the conditions as tested (${sealed === undefined ? "as declared" : "sealed"} ${time})`;
}
