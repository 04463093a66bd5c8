/** Velocity of question 8: which jet is judged, against which point of the curve, and the check of each metal. */
import { oxygenLimits } from "../dossier/index.js";
import { exemptionPressure, velocityLimit } from "../physics/oxygen/index.js";
import type { Length, Pressure } from "../quantity/index.js";
import type { Check, CheckDefinition } from "./check.js";
import type { Context } from "./context.js";
import { judgeOwn, waiting } from "./judgeOwn.js";
import { counted, everyPart, noData } from "./oxygenCounts.js";
import { configurationOf, endsOf, jetNeeds, type Part, staysLiquid } from "./oxygenFacts.js";
import { PartFacts } from "./oxygenPartFacts.js";
import { quantityWords } from "./words.js";

const velocityDefinition: CheckDefinition = {
  id: "gas-velocity",
  designChecks: ["velocity"],
  failureModes: ["particle-ign"],
  name: "Gas velocity",
  dimension: "speed",
  equation: "v <= v_max(p): 30 m/s to 15 bar, p v <= 450 bar m/s to 100 bar, 4.5 m/s to 200 bar",
  source: "eiga-13-2012, impingement velocity curve, from memory",
  assumptions: [
    "A valve is an impingement site. The curve is of warm gas in pipelines; cold gas and liquid that flashes are held against it, because liquid has none of its own.",
    "The jet expands without loss to the pressure behind the valve, in the case with the largest drop at the start: no real one is faster.",
  ],
};

const exemptDefinition: CheckDefinition = {
  ...velocityDefinition,
  name: "Gas velocity, exempt material",
  dimension: "pressure difference",
  equation:
    "p over the atmosphere <= exemption pressure of the material at its thickness: no limit of velocity",
  source: "eiga-13-2012, exemption pressures, from memory",
};

const liquidDefinition: CheckDefinition = {
  ...velocityDefinition,
  name: "Gas velocity, no gas in the jet",
  dimension: "ratio",
  equation: "share of gas in the jet = 0, and no gas before the ball",
};

/** The jet that the velocities are held against, where it is known which it is. */
export interface JudgedJet {
  readonly figure: "gas" | "flash";
  /** Whether gas stands before the ball at the start. */
  readonly isGas: boolean;
  /** Pressure at which the curve is read: the high end of that of the supply, or of the boiling liquid [Pa]. */
  readonly at: Pressure;
  /** Limit there [m/s]; undefined beyond the end of the curve. */
  readonly limit: number | undefined;
}

/** The jet that is judged; what is missing for it; `liquid` where no gas is in it and none before the ball. */
export function judgedJet(context: Context): JudgedJet | "liquid" | { readonly needs: readonly string[] } {
  const atStart = configurationOf(context, "gas_at_start");
  const answer = context.own.oxygen;
  if ("needs" in atStart) return atStart;
  if (staysLiquid(answer) && atStart.answer === "no") return "liquid";
  const isGas = atStart.answer === "yes";
  const { figures } = answer.jets;
  const needs = [
    ...jetNeeds(answer, "flash"),
    ...(isGas ? jetNeeds(answer, "gas") : []),
    ...jetNeeds(answer, isGas ? "pressure" : "boiling"),
  ];
  if (needs.length > 0) return { needs };
  const flash = endsOf(figures, "flash").high;
  const figure = isGas && !(endsOf(figures, "gas").high < flash) ? "gas" : "flash";
  // Liquid flashes at its boiling pressure and below; gas before the ball has that of the supply.
  const at = endsOf(figures, isGas ? "pressure" : "boiling").high as Pressure;
  return { figure, isGas, at, limit: velocityLimit(oxygenLimits.impingement, at) };
}

/** Checks of every metal of which nobody with name and day says that it lies off the stream. */
export function velocityChecks(context: Context, parts: readonly Part[]): readonly Check[] {
  if (parts.length === 0) return [waiting(velocityDefinition, [everyPart])];
  const missing = noData(context);
  if (missing.length > 0) return [waiting(velocityDefinition, missing)];
  const metals = parts.filter(
    (part) => part.fields.kind === "metal" && new PartFacts(context, part, parts).inStream.state !== "absent",
  );
  if (metals.length === 0)
    return [waiting(velocityDefinition, ["oxygen.parts: the metals that stand in the stream"])];
  const atStart = configurationOf(context, "gas_at_start");
  const jet = judgedJet(context);
  if (jet === "liquid")
    return [
      counted(
        context,
        liquidDefinition,
        0,
        { most: 0, words: "no gas" },
        "word" in atStart ? [`No gas at the start: ${atStart.word}.`] : [],
        "%",
      ),
    ];
  const isGas = "answer" in atStart && atStart.answer === "yes";
  return metals.map((part) => ofMetal(context, { part, parts, jet, isGas }));
}

function ofMetal(
  context: Context,
  of: {
    readonly part: Part;
    readonly parts: readonly Part[];
    readonly jet: JudgedJet | { readonly needs: readonly string[] };
    readonly isGas: boolean;
  },
): Check {
  const { part, parts, jet, isGas } = of;
  const { jets } = context.own.oxygen;
  const facts = new PartFacts(context, part, parts);
  const burns = facts.burnsAt(isGas ? "gauge" : "boilingGauge");
  const atStart = configurationOf(context, "gas_at_start");
  const needs = [
    ...[facts.inStream, burns].flatMap((fact) => (fact.state === "open" ? fact.needs : [])),
    ...("needs" in atStart ? atStart.needs : []),
  ];
  if (needs.length > 0) return waiting(velocityDefinition, needs, part.name);
  const words = jetWords(context, isGas);
  if (burns.state === "absent")
    return judgeOwn(exemptDefinition, {
      figures: jets.figures,
      figure: isGas ? "gauge" : "boilingGauge",
      limit: { most: exemptUpTo(part), words: "exemption pressure" },
      wanted: context.wanted,
      of: part.name,
      unit: "bar",
      assumptions: [words, `${burns.words}; ${burns.word}.`],
    });
  if ("needs" in jet) return waiting(velocityDefinition, jet.needs, part.name);
  const { at, limit, figure } = jet;
  if (limit === undefined)
    return waiting(
      velocityDefinition,
      [`a limit of velocity at ${quantityWords(at, "pressure")}: the curve ends below`],
      part.name,
    );
  return judgeOwn(velocityDefinition, {
    figures: jets.figures,
    figure,
    limit: { most: limit, words: `impingement curve at ${quantityWords(at, "pressure")}` },
    wanted: context.wanted,
    of: part.name,
    unit: "m/s",
    assumptions: [
      words,
      `The curve is read at ${quantityWords(at, "pressure")}, the high end of ${isGas ? "the highest supply pressure of duty and cases" : "the pressure at which the liquid boils"}.`,
    ],
  });
}

function jetWords({ own }: Context, isGas: boolean): string {
  const { flashedShare: share } = own.oxygen;
  if (isGas) return "Gas stands before the ball at the start, at the pressure of the supply.";
  // Nominally liquid, and in a part of the samples not.
  if (share === 0) return "The jet of the liquid is near its boiling pressure and may flash.";
  return `The jet of the liquid flashes${share === undefined ? "" : `, ${quantityWords(share, "ratio", "%")} of it gas by mass,`} at its boiling pressure and below.`;
}

/** The highest exemption that the thickness of a part reaches [Pa over the atmosphere]. */
function exemptUpTo({ fields, standing }: Part): number {
  const thickness = fields.thickness?.value ?? Number.MAX_VALUE;
  return exemptionPressure(standing?.exemptions ?? [], thickness as Length) ?? 0;
}
