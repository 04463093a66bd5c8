/** Pictures of question 11: histories overlaid, the ledger of the difference, inputs before and after. */
import type { HistoryOverlay, Reconciliation, UpdatedInput } from "../evidence/index.js";
import type { Figure, Mark } from "../picture/index.js";
import { type Context, labelOf } from "./context.js";
import { definitionLabel } from "./definition.js";
import { inUnit } from "./inUnit.js";
import { ledgerStep, millisecondWords, touchedInputs, touchedOf } from "./testTables.js";
import { refusalWords } from "./testWords.js";

/** The figures of question 11, run by run. */
export function agreementFigures(context: Context): readonly Figure[] {
  return context.evidence.reconciliations.flatMap((one) => [
    ...one.overlays.map((overlay) => overlayFigure(one, overlay)),
    ...ledgerFigure(context, one),
    ...inputFigure(context, one),
  ]);
}

function idOf({ runId, sense }: Reconciliation, what: string): string {
  return `test-${runId.replace(/[^A-Za-z0-9]+/g, "-")}-${sense}-${what}`;
}

/** Axis of a channel. */
export function channelAxis({ channel }: HistoryOverlay) {
  switch (channel) {
    case "angle":
      return { dimension: "angle", label: "Travel from the start", unit: "deg" } as const;
    case "current":
      return { dimension: "current", label: "Motor current", unit: "A" } as const;
    case "supply voltage":
      return { dimension: "voltage", label: "Voltage at the driver", unit: "V" } as const;
    case "pressure drop":
      return {
        dimension: "pressure difference",
        label: "Pressure drop across the valve",
        unit: "bar",
      } as const;
  }
}

function overlayFigure(reconciliation: Reconciliation, overlay: HistoryOverlay): Figure {
  const { runId, sense } = reconciliation;
  const { dimension, label, unit } = channelAxis(overlay);
  const x = inUnit(overlay.time_s, "time", "ms");
  const line = (
    role: "measurement" | "prediction" | "better",
    text: string,
    values: readonly number[],
  ): Mark => ({
    kind: "line",
    role,
    label: text,
    x,
    y: inUnit(values, dimension, unit),
  });
  const end = (values: readonly number[]) =>
    `${(inUnit(values, dimension, unit).at(-1) ?? 0).toFixed(1)} ${unit}`;
  return {
    kind: "plot",
    id: idOf(reconciliation, overlay.channel.replace(" ", "-")),
    title: `Run ${runId}, ${sense}: ${overlay.channel} measured and predicted`,
    words: `${label} against time since command in run ${runId}, ${sense}: measured, predicted as declared and predicted as updated; at the end of the record ${end(overlay.measured)}, ${end(overlay.declared)} and ${end(overlay.updated)}.`,
    x: { label: "Time since command", unit: "ms" },
    y: { label, unit },
    marks: [
      line("prediction", "as declared", overlay.declared),
      line("better", "as updated", overlay.updated),
      line("measurement", "measured", overlay.measured),
    ],
  };
}

function ledgerFigure(context: Context, reconciliation: Reconciliation): readonly Figure[] {
  const { ledger, runId, sense, held, leading, explained, refusals } = reconciliation;
  if (ledger === undefined) return [];
  const ms = (seconds: number) => 1e3 * seconds;
  const band = held.band_s[ledger.definition];
  const u = leading === undefined ? 0 : leading.coverageFactor * leading.dataUncertainty_s;
  const label = definitionLabel(ledger.definition);
  const step = ledgerStep(reconciliation);
  const say = (seconds: number) => millisecondWords(seconds, step);
  const names = ledger.lines.map(({ path }) =>
    path === undefined ? "the other inputs together" : labelOf(context, path),
  );
  const largest = ledger.lines[0];
  return [
    {
      kind: "waterfall",
      id: idOf(reconciliation, "ledger"),
      title: `Run ${runId}, ${sense}: from the predicted to the measured time${explained ? "" : ", by an update that does not stand"}`,
      words: `${explained ? "" : `The update does not stand, so its parts are no causes: ${refusals.map((refusal) => refusalWords(context, refusal)).join("; ")}. `}From ${say(ledger.predicted_s)} predicted to ${say(ledger.measured_s)} measured, ${label}: ${largest === undefined ? "no input moved" : `the largest part is ${say(largest.contribution_s)} by ${names[0] ?? ""}`}; as updated ${say(ledger.updated_s)}; ${say(ledger.unexplained_s)} ${explained ? "unexplained" : "beyond that"}.`,
      value: { label: `Time, ${label}`, unit: "ms" },
      start: {
        label: "predicted, as declared",
        value: ms(ledger.predicted_s),
        role: "prediction",
        ...(band === undefined ? {} : { low: ms(band.low), high: ms(band.high) }),
      },
      contributions: ledger.lines.map(({ contribution_s }, j) => ({
        label: names[j] ?? "",
        value: ms(contribution_s),
      })),
      end: {
        label: "measured",
        value: ms(ledger.measured_s),
        role: "measurement",
        low: ms(ledger.measured_s - u),
        high: ms(ledger.measured_s + u),
      },
      increase: "worse",
      ...(explained ? {} : { unexplainedLabel: "beyond an update that does not stand" }),
    },
  ];
}

/** 95 % of a normal law, either side, in its standard uncertainties. */
const reach95 = 1.96;
const mostInputs = 10;

/** Updated inputs of one run. */
function inputFigure(context: Context, reconciliation: Reconciliation): readonly Figure[] {
  const { runId, sense } = reconciliation;
  return inputsFigure(
    context,
    touchedInputs(reconciliation),
    idOf(reconciliation, "inputs"),
    `Run ${runId}, ${sense}: inputs before and after the test`,
  );
}

/** Updated inputs in units of their declared uncertainty: as declared they lie in the band about 0. */
export function inputsFigure(
  context: Context,
  inputs: readonly UpdatedInput[],
  id: string,
  title: string,
): readonly Figure[] {
  const shown = touchedOf(inputs).slice(0, mostInputs);
  const first = shown[0];
  if (first === undefined) return [];
  const x = shown.map((_, j) => j + 1);
  const low = shown.map(({ shift, narrowing }) => shift - reach95 * narrowing);
  const high = shown.map(({ shift, narrowing }) => shift + reach95 * narrowing);
  return [
    {
      kind: "plot",
      id,
      title,
      words: `Declared inputs after the test, in their declared standard uncertainties, with 95 % intervals: ${shown.map((input, j) => `${j + 1} ${labelOf(context, input.path)} ${signed(input.shift)}`).join(", ")}. As declared each would lie at 0, within 1.96 either way.`,
      x: { label: "Input, numbered as in the words", unit: "", range: [0, shown.length + 1] },
      y: { label: "Moved by declared uncertainties", unit: "" },
      marks: [
        { kind: "region", role: "band", label: "as declared, 95 %", y: [-reach95, reach95] },
        {
          kind: "points",
          role: "measurement",
          label: "after the test",
          x,
          y: shown.map(({ shift }) => shift),
          low,
          high,
        },
      ],
    },
  ];
}

/** One decimal, without a minus before nothing. */
function signed(value: number): string {
  const text = value.toFixed(1);
  return Number(text) === 0 ? "0.0" : text;
}
