/** Pictures, tables and words of the cold. */
import type { Figure } from "../picture/index.js";
import { type ColdAnswer, type ColdChain, ownBand } from "../predict/index.js";
import type { Table } from "./answer.js";
import type { Context } from "./context.js";
import { inUnit } from "./inUnit.js";
import { bandWords, bare, percentWords, quantityWords, valueWords } from "./words.js";

/** Remaining interference against temperature. @param largest  limit above, if there is one [m] */
export function coldFigures(
  { interference: history, temperature, seat }: ColdAnswer,
  largest: number | undefined,
): readonly Figure[] {
  if (history === undefined || temperature === undefined) return [];
  const last = history.value.at(-1) ?? Number.NaN;
  const band = ownBand(seat.figures.samples.interference ?? new Float64Array(0));
  const mm = (value: number) => inUnit([value], "length", "mm")[0] ?? Number.NaN;
  const spread =
    band === undefined ? "" : ` (${percentWords(band.coverage)} ${bandWords(band, "length", "mm")})`;
  return [
    {
      kind: "plot",
      id: "cold-interference",
      title: "Seat interference as the valve cools",
      words: `Interference of both seats that remains against the temperature of the valve: ${valueWords(last, band, "length", "mm")} at ${quantityWords(temperature, "temperature", "K")}${spread}.`,
      x: { label: "Temperature of the valve", unit: "K" },
      y: { label: "Interference", unit: "mm" },
      marks: [
        {
          kind: "line",
          role: "prediction",
          label: "remaining",
          x: [...history.temperature_K].reverse(),
          y: [...inUnit(history.value, "length", "mm")].reverse(),
        },
        // The band is that of the valve as cold as it gets.
        ...(band === undefined || !(band.high > band.low)
          ? []
          : [
              {
                kind: "points",
                role: "prediction",
                label: `${percentWords(band.coverage)}, cold`,
                x: [temperature],
                y: [mm(last)],
                low: [mm(band.low)],
                high: [mm(band.high)],
              } as const,
            ]),
        { kind: "limit", axis: "y", value: 0, label: "contact lost", forbidden: "below" },
        ...(largest === undefined
          ? []
          : [
              { kind: "limit", axis: "y", value: mm(largest), label: "largest", forbidden: "above" } as const,
            ]),
      ],
    },
  ];
}

/** Which ratio of the preload the torque uses, and what materials and dimensions give. */
export function preloadWords({ prediction }: Context, seat: ColdChain): string {
  const declared = prediction.dossier.valve.valve?.seat?.preload_cold_ratio;
  const derived = seat.figures.nominal.ratio ?? Number.NaN;
  const own = Number.isNaN(derived) ? "" : bare(derived, "ratio", "");
  if (declared === undefined)
    return own === "" ? "How much preload is left is not known." : `Of the preload ${own} is left.`;
  if (declared.origin === "default")
    return `The turning torque uses the preload that follows from these dimensions: ${bare(declared.value, "ratio", "")} of it at 90 K.`;
  return own === ""
    ? `The turning torque uses the declared preload at 90 K, ${bare(declared.value, "ratio", "")} of the warm one.`
    : `The turning torque uses the declared preload, ${bare(declared.value, "ratio", "")} of the warm one at 90 K; these dimensions give ${own} at the temperature of the valve.`;
}

/** The chains one by one. */
export function coldTables(context: Context, { seat, fits, bolts }: ColdAnswer): readonly Table[] {
  const rows = [
    row(seat, "interference", "seats, interference that remains", "length", "mm"),
    row(seat, "ratio", "seats, preload over that at inspection", "ratio", ""),
    row(seat, "stress", "seats, contact stress of the preload in the cold", "stress", "MPa"),
    ...fits.flatMap((fit) => [
      row(fit, "clearance", `${fit.name}, clearance`, "length", "mm"),
      row(fit, "transient", `${fit.name}, least clearance with either part ahead by the lag`, "length", "mm"),
    ]),
    ...(bolts === undefined ? [] : [row(bolts, "force", "bolts, force of one", "force", "kN")]),
  ].flatMap((one) => (one === undefined ? [] : [one]));
  if (rows.length === 0) return [];
  return [
    { title: `What the cold leaves, ${context.prediction.caseId}`, columns: ["what", "value", "band"], rows },
  ];
}

function row(
  chain: ColdChain,
  figure: string,
  what: string,
  dimension: "length" | "ratio" | "stress" | "force",
  unit: string,
): readonly string[] | undefined {
  const value = chain.figures.nominal[figure] ?? Number.NaN;
  if (Number.isNaN(value)) return undefined;
  const band = ownBand(chain.figures.samples[figure] ?? new Float64Array(0));
  const hasBand = band !== undefined && band.high > band.low;
  return [
    what,
    valueWords(value, hasBand ? band : undefined, dimension, unit),
    hasBand ? `${percentWords(band.coverage)} ${bandWords(band, dimension, unit)}` : "",
  ];
}
