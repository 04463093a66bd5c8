/** What question 11 says of several tests together: the sentence, and the lists behind it. */
import type { JointReconciliation, LedgerLine, OpenDirection, UpdatedInput } from "../evidence/index.js";
import type { Table } from "./answer.js";
import { type Context, labelInRun, labelOf } from "./context.js";
import { separatingTest } from "./separatingTest.js";
import { millisecondWords, touchedOf, updatedColumns, updatedRows } from "./testTables.js";
import { refusalWords } from "./testWords.js";

/** Causes and changes that a sentence names at most. */
const mostNamed = 3;
/** Share of the largest cause below which one is not named [-]. */
const leastNamed = 0.15;

/** The sentence about all runs together. */
export function jointSentence(context: Context, joint: JointReconciliation): string {
  const runs = joint.runs.map(({ runId }) => runId).join(", ");
  const head = joint.runs.length > 1 ? `Runs ${runs} together:` : `Run ${runs}:`;
  const troubled = joint.runs.filter(({ refusals }) => refusals.length > 0);
  const whole = joint.refusals.map((refusal) => refusalWords(context, refusal));
  const each = troubled.map(({ runId, refusals }) => `in run ${runId} ${refusals.join("; ")}`);
  const verdict = joint.explained
    ? `one set of values explains ${joint.runs.length > 1 ? "them all" : "it"}.`
    : `no set of values explains ${joint.runs.length > 1 ? "them all" : "it"}: ${[...whole, ...each].join("; ")}.`;
  return [head, verdict, causesWords(context, joint), openWords(context, joint), spreadWords(joint)]
    .filter((text) => text !== "")
    .join(" ");
}

function causesWords(context: Context, joint: JointReconciliation): string {
  const causes = causesOf(joint).filter(({ path }) => path !== undefined);
  const largest = causes[0]?.size ?? 0;
  const named = causes.filter(({ size }) => size >= leastNamed * largest).slice(0, mostNamed);
  if (named.length === 0 || largest < 1e-3) return "";
  const parts = named.map(({ path, most, runId }) => {
    const label = labelOf(context, path ?? "");
    return `${label} (${signedMs(most)} in run ${runId})`;
  });
  return `What made the measured times differ from those of the file is above all ${parts.join(", ")}.`;
}

interface Cause {
  readonly path: string | undefined;
  /** Sum of its parts over the runs, by size [s]. */
  readonly size: number;
  /** Its largest part, and the run that has it [s]. */
  readonly most: number;
  readonly runId: string;
}

/** Causes over all runs, largest first. */
function causesOf({ runs }: JointReconciliation): readonly Cause[] {
  const paths = new Set(runs.flatMap(({ ledger }) => ledger?.lines.map(({ path }) => path) ?? []));
  return [...paths]
    .map((path): Cause => {
      const parts = runs.flatMap(({ runId, ledger }) =>
        (ledger?.lines ?? [])
          .filter((line) => line.path === path)
          .map(({ contribution_s }) => ({ runId, contribution_s })),
      );
      const most = parts.reduce((a, b) => (Math.abs(b.contribution_s) > Math.abs(a.contribution_s) ? b : a));
      return {
        path,
        size: parts.reduce((sum, { contribution_s }) => sum + Math.abs(contribution_s), 0),
        most: most.contribution_s,
        runId: most.runId,
      };
    })
    .sort((a, b) => b.size - a.size);
}

function signedMs(seconds: number): string {
  return `${seconds < 0 ? "-" : "+"}${millisecondWords(Math.abs(seconds), Math.max(Math.abs(seconds) / 2, 1e-3))}`;
}

function openWords(context: Context, { open, runs }: JointReconciliation): string {
  const [first] = open;
  const [one, other] = first?.members ?? [];
  if (one === undefined || other === undefined) return "";
  return `These tests fix ${labelOf(context, one.path)} and ${labelOf(context, other.path)} only together. What would tell them apart: ${separatingTest(one.path, other.path, loggedIn(runs))}.`;
}

/** Channels that any of the runs had. */
function loggedIn(runs: JointReconciliation["runs"]) {
  return runs.flatMap(({ overlays }) => overlays.map(({ channel }) => channel));
}

function spreadWords({ sampled }: JointReconciliation): string {
  if (sampled === undefined) return "";
  const numbers = `R-hat ${sampled.rHat.toFixed(3)}, effective sizes at least ${sampled.bulkSize.toFixed(0)} and ${sampled.tailSize.toFixed(0)}`;
  return sampled.converged
    ? `The spreads are from ${sampled.chains * sampled.draws} draws of ${sampled.chains} chains that have converged (${numbers}).`
    : `The chains did not converge within their steps (${numbers}), so the spreads are those of the linearised posterior.`;
}

/** The lists about all runs together; none without them. */
export function jointTables(context: Context): readonly Table[] {
  const { joint } = context.evidence;
  if (joint === undefined) return [];
  return [
    causeTable(context, joint),
    inputsTable(context, joint),
    ...openTable(context, joint),
    ...pairsTable(context, joint),
    ...refusalsTable(context, joint),
    ...diagnosisTable(joint),
    ...drawsTable(context, joint),
    ...putBackTable(context, joint),
  ];
}

/** Causes with a row of their own; the small ones stand together in each run's sum. */
const mostCauses = 9;

function causeTable(context: Context, joint: JointReconciliation): Table {
  const shown = causesOf(joint)
    .filter(({ path }) => path !== undefined)
    .slice(0, mostCauses);
  const known = joint.runs.filter(({ ledger }) => ledger !== undefined);
  const ledgers = known.map(({ ledger }) => ledger);
  const largest = Math.max(
    0,
    ...ledgers.map((one) => Math.abs((one?.measured_s ?? 0) - (one?.predicted_s ?? 0))),
  );
  const show = (seconds: number) => millisecondWords(seconds, Math.max(largest / 20, 1e-3));
  const sum = (lines: readonly LedgerLine[]) =>
    lines.reduce((all, { contribution_s }) => all + contribution_s, 0);
  const row = (label: string, value: (ledger: NonNullable<(typeof ledgers)[number]>) => number) => [
    label,
    ...ledgers.map((one) => (one === undefined ? "" : show(value(one)))),
  ];
  const partOf = ({ lines }: NonNullable<(typeof ledgers)[number]>, path: string | undefined) =>
    lines.find((line) => line.path === path)?.contribution_s;
  return {
    title: `All runs together: which assumption ${joint.explained ? "explains how much" : "would explain how much, by an update that does not stand"}; ${known.map(({ runId }, r) => `${r + 1} is run ${runId}`).join(", ")}`,
    columns: ["entry", ...known.map((_, r) => `${r + 1}`)],
    rows: [
      row("as the file has it", ({ predicted_s }) => predicted_s),
      ...shown.map(({ path }) => [
        labelOf(context, path ?? ""),
        ...ledgers.map((one) => {
          const part = one === undefined ? undefined : partOf(one, path);
          return part === undefined ? "small" : show(part);
        }),
      ]),
      row("the other inputs together", ({ lines }) =>
        sum(lines.filter(({ path }) => !shown.some((cause) => cause.path === path))),
      ),
      row("as updated", ({ updated_s }) => updated_s),
      row("unexplained", ({ unexplained_s }) => unexplained_s),
      row("measured", ({ measured_s }) => measured_s),
    ],
  };
}

/** Moved by half a declared uncertainty, or told with not much more than half its spread left. */
function isWorthARow({ shift, narrowing, granted }: UpdatedInput): boolean {
  const isMoved = Math.abs(shift) >= (granted === undefined ? 0.5 : 1);
  return isMoved || (granted === undefined && narrowing <= 0.6);
}

function inputsTable(context: Context, joint: JointReconciliation): Table {
  const touched = touchedOf(joint.inputs).filter(isWorthARow);
  const silent = joint.inputs.length - touched.length;
  return {
    title: `All runs together: inputs before and after${joint.explained ? "" : " an update that does not stand"}; of ${silent} more these tests say little or nothing`,
    columns: updatedColumns,
    rows: updatedRows(context, touched),
  };
}

function openTable(context: Context, { open, runs }: JointReconciliation): readonly Table[] {
  if (open.length === 0) return [];
  return [
    {
      title: "What these tests fix only together, and what would tell it apart",
      columns: ["inputs that trade", "spread left along it", "a test that would tell"],
      rows: open.map((direction) => [
        tradeWords(context, direction),
        `${(100 * direction.spread).toFixed(0)} %`,
        separatingTest(direction.members[0]?.path ?? "", direction.members[1]?.path ?? "", loggedIn(runs)),
      ]),
    },
  ];
}

/** "seat friction up, seat preload down". */
function tradeWords(context: Context, { members }: OpenDirection): string {
  const sense = Math.sign(members[0]?.component ?? 1);
  return members
    .map(
      ({ path, runId, component }) =>
        `${labelInRun(context, path, runId)} ${component * sense > 0 ? "up" : "down"}`,
    )
    .join(", ");
}

const mostPairs = 8;

function pairsTable(context: Context, { confused }: JointReconciliation): readonly Table[] {
  if (confused.length === 0) return [];
  return [
    {
      title: "All runs together: the strongest ties between inputs after the tests",
      columns: ["one", "other", "correlation", "likeness of their marks"],
      rows: confused
        .slice(0, mostPairs)
        .map(({ first, firstRun, second, secondRun, correlation, likeness }) => [
          labelInRun(context, first, firstRun),
          labelInRun(context, second, secondRun),
          correlation.toFixed(2),
          likeness === undefined ? "" : likeness.toFixed(2),
        ]),
    },
  ];
}

function refusalsTable(context: Context, { runs, refusals }: JointReconciliation): readonly Table[] {
  const rows = [
    ...refusals.map((refusal) => ["all", refusalWords(context, refusal)]),
    ...runs.flatMap((run) => run.refusals.map((refusal) => [run.runId, refusal])),
  ];
  return rows.length === 0
    ? []
    : [{ title: "All runs together: why the explanation does not stand", columns: ["run", "reason"], rows }];
}

function diagnosisTable({ sampled }: JointReconciliation): readonly Table[] {
  if (sampled === undefined) return [];
  return [
    {
      title: "How the posterior was sampled",
      columns: ["what", "value"],
      rows: [
        ["chains, draws kept of each", `${sampled.chains}, ${sampled.draws}`],
        ["seed", `${sampled.seed}`],
        ["share of the steps taken", `${(100 * sampled.acceptance).toFixed(0)} %`],
        ["largest rank-normalised R-hat (below 1.01 asked)", sampled.rHat.toFixed(4)],
        ["least effective size, centre (400 asked)", sampled.bulkSize.toFixed(0)],
        ["least effective size, tails (400 asked)", sampled.tailSize.toFixed(0)],
        ["converged", sampled.converged ? "yes" : "no: the spreads shown are linearised"],
      ],
    },
  ];
}

/** Inputs with a row of their own, the worst first; the others are better than they. */
const mostDiagnosed = 8;

function drawsTable(context: Context, { sampled }: JointReconciliation): readonly Table[] {
  if (sampled === undefined) return [];
  const worst = [...sampled.parameters].sort((a, b) => b.rHat - a.rHat).slice(0, mostDiagnosed);
  return [
    {
      title: `What the draws are worth, input by input; the other ${sampled.parameters.length - worst.length} have a smaller R-hat`,
      columns: ["input", "R-hat", "effective size, centre", "effective size, tails"],
      rows: worst.map(({ path, runId, rHat, bulkSize, tailSize }) => [
        labelInRun(context, path, runId),
        rHat.toFixed(4),
        bulkSize.toFixed(0),
        tailSize.toFixed(0),
      ]),
    },
  ];
}

function putBackTable(context: Context, { putBack }: JointReconciliation): readonly Table[] {
  return putBack.length === 0
    ? []
    : [
        {
          title: "Fitted to some of these runs before; the update began from what was declared until then",
          columns: ["input"],
          rows: putBack.map((path) => [labelOf(context, path)]),
        },
      ];
}
