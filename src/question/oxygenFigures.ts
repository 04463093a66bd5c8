/** Pictures of question 8: the fastest jet over the curve of velocity limits, and gas that is compressed. */
import { oxygenLimits } from "../dossier/index.js";
import { velocityLimit } from "../physics/oxygen/index.js";
import type { Figure } from "../picture/index.js";
import { ownBand } from "../predict/index.js";
import type { Pressure } from "../quantity/index.js";
import type { Context } from "./context.js";
import { inUnit } from "./inUnit.js";
import { configurationOf } from "./oxygenFacts.js";
import { quantityWords } from "./words.js";

/** Points of the curve. */
const curvePoints = 121;
/** Pressures below this are not drawn: the curve is flat there [Pa]. */
const from = 1e5;

/** The velocity picture, where pressure and a jet are known. */
export function oxygenFigures(context: Context): readonly Figure[] {
  const { jets, service } = context.own.oxygen;
  const { nominal, samples } = jets.figures;
  const pressure = nominal.pressure ?? Number.NaN;
  const end = oxygenLimits.impingement.at(-1)?.to ?? Number.NaN;
  if (service.kind !== "oxidiser" || !service.isOnFile || Number.isNaN(pressure)) return [];
  const atStart = configurationOf(context, "gas_at_start");
  const hasNoGas = "answer" in atStart && atStart.answer === "no";
  // Liquid flashes at its boiling pressure and below; gas before the ball has that of the supply.
  const rows = [
    { figure: "flash", label: "jet of the liquid", at: nominal.boiling ?? Number.NaN, role: "prediction" },
    ...(hasNoGas
      ? []
      : [{ figure: "gas", label: "gas at the start", at: pressure, role: "demand" } as const]),
  ].flatMap(({ figure, label, at, role }) => {
    const value = nominal[figure] ?? Number.NaN;
    if (!(value > 0) || Number.isNaN(at)) return [];
    const limit = velocityLimit(oxygenLimits.impingement, at as Pressure);
    const band = ownBand(samples[figure] ?? new Float64Array(0));
    return [{ value, label, at, band, limit, role: role as "prediction" | "demand" }];
  });
  if (rows.length === 0) return [];
  const pressures = Array.from(
    { length: curvePoints },
    (_, j) => from + ((end - from) * j) / (curvePoints - 1),
  );
  const bar = (values: readonly number[]) => inUnit(values, "pressure", "bar(a)");
  const curve = (stretches: typeof oxygenLimits.impingement) =>
    pressures.map((p) => velocityLimit(stretches, p as Pressure) ?? Number.NaN);
  return [
    {
      kind: "plot",
      id: "oxygen-velocity",
      title: "Fastest jet and the limits of gas velocity",
      words: `Speed against pressure: ${rows
        .map(
          ({ label, value, at, limit }) =>
            `the ${label} reaches ${quantityWords(value, "speed", "m/s")} at ${quantityWords(at, "pressure")}, where metals that are not exempt are held to ${limit === undefined ? "no known limit" : quantityWords(limit, "speed", "m/s")}`,
        )
        .join("; ")}. The limits are of places that gas strikes.`,
      x: { label: "Pressure", unit: "bar(a)" },
      y: { label: "Speed", unit: "m/s" },
      marks: [
        {
          kind: "line",
          role: "limit",
          label: "limit where gas strikes",
          x: bar(pressures),
          y: curve(oxygenLimits.impingement),
        },
        {
          kind: "line",
          role: "neutral",
          label: "limit in straight pipe",
          x: bar(pressures),
          y: curve(oxygenLimits.straight),
        },
        ...rows.map(
          ({ value, label, at, band, role }) =>
            ({
              kind: "points",
              role,
              label,
              x: bar([at]),
              y: [value],
              low: [band?.low ?? value],
              high: [band?.high ?? value],
            }) as const,
        ),
      ],
    },
  ];
}
