/** Lists behind question 11: comparisons, causes, updated inputs, what could not be told apart, refusals. */
import {
  type Comparison,
  type Proposal,
  type Reconciliation,
  type UpdatedInput,
  untouchedNarrowing,
} from "../evidence/index.js";
import type { Table } from "./answer.js";
import { conditionTable } from "./conditionTable.js";
import { type Context, labelInRun, labelOf } from "./context.js";
import { definitionLabel } from "./definition.js";
import { percentWords, quantityWords, valueWords } from "./words.js";

/** A time in ms, digits after what is left open. */
export function millisecondWords(seconds: number, open_s: number): string {
  return valueWords(seconds, { low: seconds - open_s, high: seconds + open_s }, "time", "ms");
}

/** The tables of question 11, run by run, then the proposals. */
export function agreementTables(context: Context): readonly Table[] {
  const { reconciliations, proposals = [] } = context.evidence;
  const tables = reconciliations.flatMap((one) => [
    comparisonTable(one),
    conditionTable(context, one),
    ...ledgerTable(context, one),
    ...(one.held.changedSince === undefined
      ? [inputTable(context, one), ...confusedTable(context, one)]
      : []),
    ...refusalTable(one),
  ]);
  const stands = ({ refusals }: Proposal): boolean => refusals.length === 0;
  return [
    ...tables,
    ...proposalTable(
      "Values proposed for the valve file, written only when accepted",
      "proposed",
      proposals.filter(stands),
    ),
    ...proposalTable(
      "Values of an update that does not stand, not proposed",
      "by that update",
      proposals.filter((one) => !stands(one)),
    ),
  ];
}

function proposalTable(title: string, value: string, proposals: readonly Proposal[]): readonly Table[] {
  if (proposals.length === 0) return [];
  return [
    {
      title,
      columns: ["field", "now", value, "because"],
      rows: proposals.map(({ path, now, proposed, because }) => [path, now, proposed, because]),
    },
  ];
}

function titleOf({ runId, sense }: Reconciliation, what: string): string {
  return `Run ${runId}, ${sense}: ${what}`;
}

function comparisonTable(reconciliation: Reconciliation): Table {
  return {
    title: titleOf(reconciliation, "predicted against measured times"),
    columns: [
      "from event to event",
      "predicted",
      "measured",
      "predicted less measured",
      "left open (k u_val)",
      "finding",
    ],
    rows: reconciliation.comparisons.map((one) => {
      const reach = one.coverageFactor * one.validationUncertainty_s;
      const show = (seconds: number) => millisecondWords(seconds, differenceStep(one));
      return [
        definitionLabel(one.definition),
        show(one.predicted_s),
        millisecondWords(one.measured_s, ownStep(one)),
        show(one.error_s),
        show(reach),
        one.finding,
      ];
    }),
  };
}

/** What the digits of a difference follow: a tenth of it, or of what is left open where that is more [s]. */
export function differenceStep(one: Comparison): number {
  return Math.max(Math.abs(one.error_s), one.coverageFactor * one.validationUncertainty_s) / 10;
}

/** What the digits of a measured time follow: its own uncertainty, but no coarser than the difference [s]. */
export function ownStep(one: Comparison): number {
  const own = one.coverageFactor * one.dataUncertainty_s;
  return own > 0 ? Math.min(own, differenceStep(one)) : differenceStep(one);
}

/** What the digits of a ledger follow, as those of its difference [s]. */
export function ledgerStep({ ledger, leading }: Reconciliation): number {
  const difference = ledger === undefined ? 0 : Math.abs(ledger.measured_s - ledger.predicted_s);
  return Math.max(difference / 10, leading === undefined ? 0 : differenceStep(leading));
}

function ledgerTable(context: Context, reconciliation: Reconciliation): readonly Table[] {
  const { ledger } = reconciliation;
  if (ledger === undefined) return [];
  const step = ledgerStep(reconciliation);
  const show = (seconds: number) => millisecondWords(seconds, step);
  return [
    {
      title: titleOf(
        reconciliation,
        reconciliation.explained
          ? "which assumption explains how much"
          : "which assumption would explain how much, by an update that does not stand",
      ),
      columns: ["entry", "time"],
      rows: [
        ["predicted, as declared", show(ledger.predicted_s)],
        ...ledger.lines.map(({ path, contribution_s }) => [
          path === undefined ? "the other inputs together" : labelOf(context, path),
          show(contribution_s),
        ]),
        ["as updated", show(ledger.updated_s)],
        ["unexplained", show(ledger.unexplained_s)],
        ["measured", show(ledger.measured_s)],
      ],
    },
  ];
}

/** A shift below this many declared uncertainties is not worth a row. */
const noticeableShift = 0.2;

/** Inputs that the test moved or narrowed, farthest moved first; none where the seal is of another state of the file. */
export function touchedInputs({ inputs, held }: Reconciliation): readonly UpdatedInput[] {
  return held.changedSince === undefined ? touchedOf(inputs) : [];
}

/** Inputs that were moved or narrowed, farthest moved first. */
export function touchedOf(inputs: readonly UpdatedInput[]): readonly UpdatedInput[] {
  return inputs
    .filter(({ narrowing, shift }) => narrowing <= untouchedNarrowing || Math.abs(shift) >= noticeableShift)
    .sort((a, b) => Math.abs(b.shift) - Math.abs(a.shift));
}

/** Heads of a table of updated inputs. */
export const updatedColumns = [
  "input",
  "declared",
  "95 % before",
  "updated",
  "95 % after",
  "moved by declared uncertainties",
  "spread left",
] as const;

/** A row for each updated input; a condition says whose run it is. */
export function updatedRows(
  context: Context,
  inputs: readonly UpdatedInput[],
): readonly (readonly string[])[] {
  return inputs.map((input) => [
    labelInRun(context, input.path, input.runId),
    ...valuesOf(context, input),
    quantityWords(Number(input.shift.toFixed(2)), "ratio"),
    percentWords(input.narrowing),
  ]);
}

function inputTable(context: Context, reconciliation: Reconciliation): Table {
  const touched = touchedInputs(reconciliation);
  const silent = reconciliation.inputs.length - touched.length;
  return {
    title: titleOf(
      reconciliation,
      `declared inputs before and after${reconciliation.explained ? "" : " an update that does not stand"}; of ${silent} more this test says nothing`,
    ),
    columns: updatedColumns,
    rows: updatedRows(context, touched),
  };
}

/** Declared, before, updated, after; a table that moved as a whole has no single value. */
function valuesOf({ inputs: declared }: Context, { path, ...input }: UpdatedInput): readonly string[] {
  const known = declared.get(path);
  const dimension = input.granted ?? known?.dimension;
  if (dimension === undefined) return ["a whole table", "", "a whole table", ""];
  const unit = known?.declared.unit ?? "";
  const show = (value: number, interval: { readonly low: number; readonly high: number }) =>
    valueWords(value, interval, dimension, unit === "" ? undefined : unit);
  const ends = (interval: { readonly low: number; readonly high: number }) =>
    `${show(interval.low, interval)} to ${show(interval.high, interval)}`;
  return [
    show(input.declared, input.before),
    ends(input.before),
    show(input.after.value, input.after),
    ends(input.after),
  ];
}

function confusedTable(context: Context, reconciliation: Reconciliation): readonly Table[] {
  const { confused } = reconciliation;
  if (confused.length === 0) return [];
  return [
    {
      title: titleOf(reconciliation, "inputs that this test could not tell apart"),
      columns: ["one", "other", "correlation after the test", "likeness of their marks"],
      rows: confused.map(({ first, second, correlation, likeness }) => [
        labelOf(context, first),
        labelOf(context, second),
        correlation.toFixed(2),
        likeness === undefined ? "" : likeness.toFixed(2),
      ]),
    },
  ];
}

function refusalTable(reconciliation: Reconciliation): readonly Table[] {
  const { refusals } = reconciliation;
  if (refusals.length === 0) return [];
  return [
    {
      title: titleOf(reconciliation, "why the explanation does not stand"),
      columns: ["reason"],
      rows: refusals.map((refusal) => [refusal]),
    },
  ];
}
