/** Pictures of several tests together: bands and residuals of each run, inputs, ties between inputs. */
import type { HistoryOverlay, JointReconciliation, JointRun } from "../evidence/index.js";
import type { Figure, Mark, Role } from "../picture/index.js";
import { type Context, labelInRun } from "./context.js";
import { inUnit } from "./inUnit.js";
import { channelAxis, inputsFigure } from "./testFigures.js";

/** The figures about all runs together; none without them. */
export function jointFigures(context: Context): readonly Figure[] {
  const { joint } = context.evidence;
  if (joint === undefined) return [];
  return [
    ...joint.runs.flatMap((run) =>
      run.overlays.flatMap((overlay) => [bandFigure(run, overlay), residualFigure(run, overlay)]),
    ),
    ...inputsFigure(context, joint.inputs, "test-joint-inputs", "All runs together: inputs before and after"),
    ...tieFigure(context, joint),
  ];
}

function idOf({ runId }: JointRun, { channel }: HistoryOverlay, what: string): string {
  return `test-joint-${runId.replace(/[^A-Za-z0-9]+/g, "-")}-${channel.replace(" ", "-")}-${what}`;
}

/** The band in which a further test under the same conditions would lie, and the test. */
function bandFigure(run: JointRun, overlay: HistoryOverlay): Figure {
  const { dimension, label, unit } = channelAxis(overlay);
  const show = (values: readonly number[]) => inUnit(values, dimension, unit);
  const x = inUnit(overlay.time_s, "time", "ms");
  const { band, measured } = overlay;
  const outside =
    band === undefined
      ? 0
      : measured.filter((value, i) => value < (band.low[i] ?? value) || value > (band.high[i] ?? value))
          .length;
  const share = (100 * (1 - outside / Math.max(measured.length, 1))).toFixed(0);
  const marks: Mark[] = [
    ...(band === undefined
      ? []
      : [
          {
            kind: "band",
            role: "band",
            label: "95 % of further tests",
            x,
            low: show(band.low),
            high: show(band.high),
          } satisfies Mark,
        ]),
    { kind: "line", role: "prediction", label: "as updated", x, y: show(overlay.updated) },
    { kind: "line", role: "measurement", label: "measured", x, y: show(measured) },
  ];
  return {
    kind: "plot",
    id: idOf(run, overlay, "band"),
    title: `All runs together, run ${run.runId}: ${overlay.channel}`,
    words: `${label} against time since command in run ${run.runId}: measured, as updated by all runs together, and the band that would hold 95 % of further tests under these conditions; ${share} % of the measured points lie in it.`,
    x: { label: "Time since command", unit: "ms" },
    y: { label, unit },
    marks,
  };
}

/** What the update leaves of a history. */
function residualFigure(run: JointRun, overlay: HistoryOverlay): Figure {
  const { dimension, label, unit } = channelAxis(overlay);
  const residual = overlay.measured.map((value, i) => value - (overlay.updated[i] ?? Number.NaN));
  const shown = differenceInUnit(residual, dimension, unit);
  const largest = Math.max(0, ...shown.map((value) => Math.abs(value)).filter(Number.isFinite));
  return {
    kind: "plot",
    id: idOf(run, overlay, "residual"),
    title: `All runs together, run ${run.runId}: ${overlay.channel}, measured less updated`,
    words: `What the update leaves of the ${overlay.channel} in run ${run.runId}, against time since command: at most ${largest.toPrecision(2)} ${unit}.`,
    x: { label: "Time since command", unit: "ms" },
    y: { label: `${label}, measured less updated`, unit },
    marks: [
      { kind: "limit", axis: "y", value: 0, label: "as updated", role: "prediction" },
      {
        kind: "line",
        role: "measurement",
        label: "measured less updated",
        x: inUnit(overlay.time_s, "time", "ms"),
        y: shown,
      },
    ],
  };
}

/** Differences have no zero of their own unit. */
function differenceInUnit(
  values: readonly number[],
  dimension: Parameters<typeof inUnit>[1],
  unit: string,
): readonly number[] {
  const [zero = 0] = inUnit([0], dimension, unit);
  return inUnit(values, dimension, unit).map((value) => value - zero);
}

const mostTied = 10;
/** Correlations are drawn in these classes, by size. */
const classes: readonly {
  readonly least: number;
  readonly most: number;
  readonly role: Role;
  readonly label: string;
}[] = [
  { least: 0.8, most: 1, role: "worse", label: "rise together, 0.8 and more" },
  { least: 0.6, most: 0.8, role: "demand", label: "rise together, 0.6 to 0.8" },
  { least: -0.8, most: -0.6, role: "available", label: "one rises as the other falls, 0.6 to 0.8" },
  { least: -1, most: -0.8, role: "better", label: "one rises as the other falls, 0.8 and more" },
];

/** Which inputs are tied after the tests: a point for each pair, rows and columns the inputs. */
function tieFigure(context: Context, { confused }: JointReconciliation): readonly Figure[] {
  const ends = confused.map(({ first, firstRun, second, secondRun, correlation }) => ({
    first: labelInRun(context, first, firstRun),
    second: labelInRun(context, second, secondRun),
    correlation,
  }));
  const names = [...new Set(ends.flatMap(({ first, second }) => [first, second]))].slice(0, mostTied);
  const pairs = ends.flatMap(({ first, second, correlation }) => {
    const [a, b] = [names.indexOf(first) + 1, names.indexOf(second) + 1];
    return a === 0 || b === 0
      ? []
      : [
          { x: a, y: b, correlation },
          { x: b, y: a, correlation },
        ];
  });
  if (pairs.length === 0) return [];
  const range: readonly [number, number] = [0, names.length + 1];
  return [
    {
      kind: "plot",
      id: "test-joint-ties",
      title: "All runs together: inputs that the tests tie to each other",
      words: `Each point is a pair of inputs whose values trade after the tests: ${names.map((name, j) => `${j + 1} ${name}`).join(", ")}. Pairs below a correlation of 0.6 are left out.`,
      x: { label: "Input, numbered as in the words", unit: "", range },
      y: { label: "Input, numbered as in the words", unit: "", range },
      marks: classes.flatMap(({ least, most, role, label }): readonly Mark[] => {
        const own = pairs.filter(({ correlation }) => correlation >= least && correlation <= most);
        return own.length === 0
          ? []
          : [{ kind: "points", role, label, x: own.map(({ x }) => x), y: own.map(({ y }) => y) }];
      }),
    },
  ];
}
