/** Pictures of question 8: the fastest jet over the curve of velocity limits, and gas that is compressed. */
import { oxygenLimits } from "../dossier/index.js";
import { velocityLimit } from "../physics/oxygen/index.js";
import type { Figure } from "../picture/index.js";
import { ownBand } from "../predict/index.js";
import type { Pressure } from "../quantity/index.js";
import type { Context } from "./context.js";
import { inUnit } from "./inUnit.js";
import { quantityWords } from "./words.js";

/** Points of the curve. */
const curvePoints = 121;
/** Pressures below this are not drawn: the curve is flat there [Pa]. */
const from = 1e5;

/** The velocity picture, where pressure and a jet are known. */
export function oxygenFigures({ own }: Context): readonly Figure[] {
  const { jets, service } = own.oxygen;
  const { nominal, samples } = jets.figures;
  const pressure = nominal.pressure ?? Number.NaN;
  const end = oxygenLimits.impingement.at(-1)?.to ?? Number.NaN;
  if (service.kind !== "oxidiser" || !service.isOnFile || Number.isNaN(pressure)) return [];
  const rows = [
    { figure: "flash", label: "jet of the liquid" },
    { figure: "gas", label: "gas at the start" },
  ].flatMap(({ figure, label }) => {
    const value = nominal[figure] ?? Number.NaN;
    return value > 0 ? [{ value, label, band: ownBand(samples[figure] ?? new Float64Array(0)) }] : [];
  });
  if (rows.length === 0) return [];
  const pressures = Array.from(
    { length: curvePoints },
    (_, j) => from + ((end - from) * j) / (curvePoints - 1),
  );
  const bar = (values: readonly number[]) => inUnit(values, "pressure", "bar(a)");
  const curve = (stretches: typeof oxygenLimits.impingement) =>
    pressures.map((p) => velocityLimit(stretches, p as Pressure) ?? Number.NaN);
  const limit = velocityLimit(oxygenLimits.impingement, pressure as Pressure);
  return [
    {
      kind: "plot",
      id: "oxygen-velocity",
      title: "Fastest jet and the limits of gas velocity",
      words: `Speed against pressure. ${rows.map(({ label, value }) => `The ${label} reaches ${quantityWords(value, "speed", "m/s")}`).join("; ")}; at ${quantityWords(pressure, "pressure")} metals that are not exempt are held to ${limit === undefined ? "no known limit" : quantityWords(limit, "speed", "m/s")} where gas strikes them.`,
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
          ({ value, label, band }) =>
            ({
              kind: "points",
              role: "prediction",
              label,
              x: bar([pressure]),
              y: [value],
              low: [band?.low ?? value],
              high: [band?.high ?? value],
            }) as const,
        ),
      ],
    },
  ];
}
