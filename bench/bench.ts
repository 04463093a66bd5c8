/**
 * What a bench is. To add one:
 *   1. Write bench/<matter>.ts that exports one `Bench`, and add it to the list in run.ts.
 *   2. `run` measures in this process, warmed up, and returns the median (bench/timing.ts).
 *   3. Accuracy stands beside speed: say how far the result lies from a converged solution, a
 *      published value or a slow obvious version. A fast wrong answer is not a result.
 *   4. Where the machine's own speed matters, the budget is a ratio to a reference that is a bench
 *      of the same run, named by its `name`; or a time on the machine that the budgets were set for,
 *      known by the time the reference took there, and a slower machine has as much longer.
 */
export interface Bench {
  readonly name: string;
  readonly budget: Budget;
  readonly run: () => Measured | Promise<Measured>;
}

/** Limit of a bench: on its value in its own unit, or on its ratio to the value of a reference bench. */
export type Budget =
  | { readonly kind: "at most" | "at least"; readonly value: number; readonly setWhere?: SetWhere }
  | { readonly kind: "ratio at most" | "ratio at least"; readonly value: number; readonly reference: string }
  /** A reference for others. */
  | { readonly kind: "none" };

/** The machine a budget was set for, by the value that a reference bench had there. */
export interface SetWhere {
  readonly reference: string;
  readonly value: number;
}

/** What a bench found. */
export interface Measured {
  /** NaN where it could not be measured here; `accuracy` then says what is lacking. */
  readonly value: number;
  /** Unit of the value: "s", "1/s", "B/s". */
  readonly unit: string;
  /** Distance from the truth, in words with a number: "opening time within 3e-6 of converged". */
  readonly accuracy: string;
}

/** A bench with its outcome. */
export interface Row extends Measured {
  readonly name: string;
  readonly budget: Budget;
  /** Value over the value of the reference, where the budget names one. */
  readonly ratio?: number;
  /** The limit on this machine, where the budget was set for another one that is faster. */
  readonly limitHere?: number;
  readonly verdict: "within budget" | "over budget" | "reference" | "not measured";
}

/**
 * Holds one measurement against its budget.
 * @param measured  values of the benches that ran before, by name
 */
export function judge(bench: Bench, found: Measured, measured: ReadonlyMap<string, number>): Row {
  const { name, budget } = bench;
  const row = { name, budget, ...found };
  if (Number.isNaN(found.value)) return { ...row, verdict: "not measured" };
  const measuredAs = (reference: string): number => {
    const value = measured.get(reference);
    if (value === undefined) throw new Error(`${name}: its reference "${reference}" did not run before it`);
    return value;
  };
  switch (budget.kind) {
    case "none":
      return { ...row, verdict: "reference" };
    case "at most":
    case "at least": {
      const slower =
        budget.setWhere === undefined ? 1 : measuredAs(budget.setWhere.reference) / budget.setWhere.value;
      const limit = budget.value * Math.max(slower, 1);
      const verdict = verdictOf(budget.kind === "at most", found.value, limit);
      return limit === budget.value ? { ...row, verdict } : { ...row, limitHere: limit, verdict };
    }
    case "ratio at most":
    case "ratio at least": {
      const ratio = found.value / measuredAs(budget.reference);
      return { ...row, ratio, verdict: verdictOf(budget.kind === "ratio at most", ratio, budget.value) };
    }
  }
}

function verdictOf(isCeiling: boolean, value: number, limit: number): "within budget" | "over budget" {
  return (isCeiling ? value <= limit : value >= limit) ? "within budget" : "over budget";
}
