/** Pictures of question 8: the fastest jet over the curve of velocity limits, and gas that is compressed. */
import { oxygenLimits } from "../dossier/index.js";
import { velocityLimit } from "../physics/oxygen/index.js";
import type { Figure } from "../picture/index.js";
import type { Pressure } from "../quantity/index.js";
import type { Context } from "./context.js";
import { inUnit } from "./inUnit.js";
import { spreadOf } from "./judgeOwn.js";
import { configurationOf, endsOf } from "./oxygenFacts.js";
import { judgedJet } from "./oxygenVelocity.js";
import { bandWords, percentWords, quantityWords, valueWords } from "./words.js";

/** Points of the curve. */
const curvePoints = 121;
/** Pressures below this are not drawn: the curve is flat there [Pa]. */
const from = 1e5;

/** The velocity picture, where pressure and a jet are known. */
export function oxygenFigures(context: Context): readonly Figure[] {
  const { jets, service } = context.own.oxygen;
  const pressure = jets.figures.nominal.pressure ?? Number.NaN;
  const end = oxygenLimits.impingement.at(-1)?.to ?? Number.NaN;
  if (service.kind !== "oxidiser" || !service.isOnFile || Number.isNaN(pressure)) return [];
  const rows = rowsOf(context);
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
      words: `Speed against pressure: ${rows.map(rowWords).join("; ")}. The limits are of places that gas strikes.`,
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

interface Row {
  readonly label: string;
  readonly role: "prediction" | "neutral";
  readonly value: number;
  readonly band: ReturnType<typeof spreadOf>;
  /** Pressure at which it is drawn: that of the check where it is judged [Pa]. */
  readonly at: number;
  /** Why it is not held against the curve; undefined for the jet that the check judges. */
  readonly because: string | undefined;
  readonly limit: number | undefined;
}

/** The jet that the check judges at its point of the curve, and the other one as far as it can be there. */
function rowsOf(context: Context): readonly Row[] {
  const answer = context.own.oxygen;
  const { figures } = answer.jets;
  const judged = judgedJet(context);
  const atStart = configurationOf(context, "gas_at_start");
  const hasNoGas = "answer" in atStart && atStart.answer === "no";
  const labels = { flash: "jet of the liquid", gas: "gas at the start" } as const;
  const because = (figure: keyof typeof labels): string | undefined => {
    if (judged === "liquid") return "it stays liquid, of which there is no curve";
    if ("needs" in judged) return `not judged while ${judged.needs.join(", ")} is open`;
    return judged.figure === figure ? undefined : "it is not the faster one";
  };
  return (["flash", "gas"] as const).flatMap((figure): readonly Row[] => {
    const value = figures.nominal[figure] ?? Number.NaN;
    const isJudged = judged !== "liquid" && "figure" in judged && judged.figure === figure;
    const own = endsOf(figures, figure === "gas" ? "pressure" : "boiling").high;
    const at = isJudged ? judged.at : own;
    if (!(value > 0) || Number.isNaN(at) || (figure === "gas" && hasNoGas)) return [];
    const why = because(figure);
    return [
      {
        label: why === undefined ? labels[figure] : `${labels[figure]}, not judged`,
        role: why === undefined ? "prediction" : "neutral",
        value,
        band: spreadOf(figures, figure),
        at,
        because: why,
        limit: isJudged ? judged.limit : undefined,
      },
    ];
  });
}

function rowWords({ label, value, band, at, because, limit }: Row): string {
  const speed = (metresPerSecond: number) => quantityWords(metresPerSecond, "speed", "m/s");
  const spread =
    band === undefined ? "" : ` (${percentWords(band.coverage)} ${bandWords(band, "speed", "m/s")})`;
  const reaches = `the ${label}${because === undefined ? "" : ","} reaches ${valueWords(value, band, "speed", "m/s")}${spread} at ${quantityWords(at, "pressure")}`;
  if (because !== undefined) return `${reaches}: ${because}`;
  return `${reaches}, where metals that are not exempt are held to ${limit === undefined ? "no known limit" : speed(limit)}`;
}
