/** Question 6: does the cold let it move and seal? Seats, clearances and bolts at temperature, and the way there. */
import type { ColdAnswer, ColdChain, WarmPart } from "../predict/index.js";
import type { Check, CheckDefinition, Limit } from "./check.js";
import { coldFigures, coldTables, preloadWords } from "./coldFigures.js";
import { type Context, faultsAmong } from "./context.js";
import { type CoolDownFinding, coolDownFinding } from "./coolDown.js";
import { heatFinding } from "./heat.js";
import { failing, judgeOwn, waiting } from "./judgeOwn.js";
import type { Finding, Question } from "./question.js";
import { rankOwnDrivers } from "./rankDrivers.js";
import { missingWords, quantityWords, valueWords } from "./words.js";

/** Question 6. */
export const cold: Question = {
  id: "cold",
  number: 6,
  words: "Does the cold let it move and seal?",
  answer: (context): Finding => {
    const answer = context.own.cold;
    const coolDown = coolDownFinding(context);
    const heat = heatFinding(context);
    return {
      sentence: `${sentence(context, answer)} ${coolDown.sentence} ${heat.sentence}`.trim(),
      checks: [
        interference(context, answer),
        ...fits(context, answer, "stem", stemDefinition),
        ...fits(context, answer, "bearing", bearingDefinition),
        ...transients(context, answer, coolDown),
        bolts(context, answer),
        boltStress(context, answer),
        contactStress(context, answer),
        brittleness(context, answer, heat.answer.parts),
        ...coolDown.checks,
        ...heat.checks,
      ],
      figures: [
        ...coldFigures(answer, fieldsOf(context)?.largest_interference?.value),
        ...coolDown.figures,
        ...heat.figures,
      ],
      tables: [...coldTables(context, answer), ...coolDown.tables, ...heat.tables],
      drivers: [
        ...rankOwnDrivers(context, answer.seat.figures, "interference", "the seat interference that remains"),
        ...coolDown.drivers,
        ...heat.drivers,
      ].toSorted((a, b) => b.share - a.share),
      notices: [...answer.notices, ...coolDown.notices, ...heat.notices],
    };
  },
};

const interferenceDefinition: CheckDefinition = {
  id: "seat-interference",
  designChecks: ["seat-interference"],
  failureModes: ["seat-leak", "binding"],
  name: "Seat interference remaining at temperature",
  dimension: "length",
  equation:
    "delta(T) = delta_0 - 2 h c_seat - 2 R cos g c_ball + (2 h + 2 R cos g - delta_0) c_body, 0 <= delta <= delta_max",
  source: "nist-cryogenics-2010, integral contraction; loop derived in docs/theory/cold.md",
  assumptions: [
    "All parts of the loop are at the temperature of the valve; the body holds the seat ring in its radius.",
    "Creep of the seat since assembly is not in it.",
  ],
};

const stemDefinition: CheckDefinition = {
  id: "stem-clearance",
  designChecks: ["stem-clearance"],
  failureModes: ["binding", "seize"],
  name: "Stem clearances cold",
  dimension: "length",
  equation: "clearance - d (c_hole - c_stem) >= least clearance, d the diameter of the fit",
  source: "nist-cryogenics-2010, integral contraction; common practice, no source for the least one",
  assumptions: ["Both parts of the fit are at its own temperature."],
};

const bearingDefinition: CheckDefinition = {
  ...stemDefinition,
  id: "bearing-clearance",
  designChecks: ["bearing-clearance"],
  failureModes: ["binding", "seize"],
  name: "Trunnion clearance cold",
  equation: "clearance - d (c_hole - c_shaft) >= least clearance, d the diameter of the fit",
  assumptions: [
    "Both parts of the fit are at its own temperature; a polymer bush is taken as free to shrink on to its shaft.",
  ],
};

const transientDefinition: CheckDefinition = {
  id: "differential-transient",
  designChecks: ["differential-transient"],
  failureModes: ["binding", "seize"],
  name: "Transient clearance during cool-down",
  dimension: "length",
  equation: "min over cool-down of clearance with either part ahead of the other by the lag >= 0",
  source: "nist-cryogenics-2010, integral contraction; the lag is declared",
  assumptions: ["Either part may run ahead by the lag, down to the final temperature."],
};

const boltDefinition: CheckDefinition = {
  id: "bolt-preload-cold",
  designChecks: ["bolt-preload-cold"],
  failureModes: ["static-leak", "bolt-loss"],
  name: "Bolt preload at temperature",
  dimension: "force",
  equation: "F(T) = F_0 E(T)/E_0 + (c_bolt - c_clamped) L / (1/k_b + 1/k_j) >= F_needed",
  source: "vdi-2230-1-2015, thermal load; nist-cryogenics-2010, integral contraction",
  assumptions: [
    "Relaxation and embedding of the joint are not in it, nor a bolt that lags behind its flange.",
  ],
};

const boltStressDefinition: CheckDefinition = {
  id: "bolt-stress-cold",
  designChecks: ["bolt-preload-cold"],
  failureModes: ["static-leak"],
  name: "Bolt stress at temperature over yield",
  dimension: "ratio",
  equation: "F(T) / A <= share of the yield strength at T",
  source: "vdi-2230-1-2015, thermal load; share: common practice, no source",
  assumptions: ["Tension alone, with the preload as it is at temperature; pressure is asked in question 5."],
};

const stressDefinition: CheckDefinition = {
  id: "polymer-strength",
  designChecks: ["polymer-strength"],
  failureModes: ["seat-extrusion"],
  name: "Seat contact stress",
  dimension: "stress",
  equation: "sigma = F / (cos g pi D w), at the preload warm and cold",
  source: "nasa-sp-8097, seat stress; derived in docs/theory/cold.md",
  assumptions: ["Preload alone, without pressure; pressure adds to the seat that it loads."],
};

const brittleDefinition: CheckDefinition = {
  id: "min-temp-material",
  designChecks: ["min-temp-material"],
  failureModes: ["stem-break"],
  name: "Minimum design temperature of each part",
  dimension: "number",
  equation:
    "number of declared loaded parts at or below the temperature at which their material turns brittle: the upper end of its transition where a source gives it",
  source: "asme-b31.3-2016, 323.2.2; reed-clark-1983, embrittlement rule; limits as in data/solids",
  assumptions: [
    "Body, ball, bolts and flange, both parts of each fit, pipe, walls and shoulder of the pressure boundary, the parts of the cool-down but its seats, and the extension's tube, stem and bracket as declared in valve.cold, the bracket at its own temperature; a part that nobody declared is not looked at.",
  ],
};

function fieldsOf({ prediction }: Context) {
  return prediction.dossier.valve.valve?.cold;
}

function needsOf(chain: ColdChain, figure: string): readonly string[] {
  return [
    ...(chain.unfit === undefined ? [] : [`a case within the data of its solids: ${chain.unfit}`]),
    ...(chain.missing[figure] ?? []),
  ];
}

function interference(context: Context, { seat }: ColdAnswer): Check {
  const needs = [
    ...needsOf(seat, "interference"),
    ...faultsAmong(context, ["valve.cold.largest_interference"]),
  ];
  if (needs.length > 0) return waiting(interferenceDefinition, needs);
  const most = fieldsOf(context)?.largest_interference?.value;
  return judgeOwn(interferenceDefinition, {
    figures: seat.figures,
    figure: "interference",
    limit:
      most === undefined
        ? { least: 0, words: "contact kept" }
        : { least: 0, most, words: "contact kept, and valve.cold.largest_interference" },
    wanted: context.wanted,
    unit: "mm",
    assumptions: [
      ...(most === undefined
        ? ["No largest interference is given: overload of the seat is not judged here."]
        : []),
      preloadWords(context, seat),
    ],
  });
}

function fits(
  context: Context,
  { fits: all }: ColdAnswer,
  kind: "stem" | "bearing",
  definition: CheckDefinition,
): readonly Check[] {
  const support = context.prediction.dossier.valve.valve?.support;
  const rows = all.flatMap((fit, j) => (fit.kind === kind ? [{ fit, j }] : []));
  if (rows.length === 0) {
    return kind === "bearing" && support === "floating"
      ? []
      : [waiting(definition, [`valve.cold.fits: each fit of kind ${kind}`])];
  }
  return rows.map(({ fit, j }) => {
    const needs = [...needsOf(fit, "clearance"), ...faultsAmong(context, [`${fit.path}.least_clearance`])];
    if (needs.length > 0) return waiting(definition, needs, fit.name);
    const least = fieldsOf(context)?.fits?.[j]?.least_clearance?.value ?? 0;
    return judgeOwn(definition, {
      figures: fit.figures,
      figure: "clearance",
      limit: { least, words: least === 0 ? "the parts do not bind" : `${fit.path}.least_clearance` },
      wanted: context.wanted,
      of: fit.name,
      unit: "mm",
    });
  });
}

function transients(
  context: Context,
  { fits: all }: ColdAnswer,
  { transientOf }: CoolDownFinding,
): readonly Check[] {
  if (all.length === 0) return [waiting(transientDefinition, ["valve.cold.fits: each fit, with its lag"])];
  return all.map((fit, j) => {
    const followed = transientOf(transientDefinition, j, fit.name);
    if (followed !== undefined) return followed;
    const needs = needsOf(fit, "transient");
    if (needs.length > 0) return waiting(transientDefinition, needs, fit.name);
    return judgeOwn(transientDefinition, {
      figures: fit.figures,
      figure: "transient",
      limit: { least: 0, words: "no seizure" },
      wanted: context.wanted,
      of: fit.name,
      unit: "mm",
    });
  });
}

function bolts(context: Context, { bolts: chain }: ColdAnswer): Check {
  const least = fieldsOf(context)?.bolts?.least_preload?.value;
  const needs = [
    ...(chain === undefined
      ? ["valve.cold.bolts.material", "valve.cold.bolts.preload"]
      : needsOf(chain, "force")),
    ...(least === undefined ? ["valve.cold.bolts.least_preload"] : []),
  ];
  if (needs.length > 0 || chain === undefined || least === undefined) return waiting(boltDefinition, needs);
  return judgeOwn(boltDefinition, {
    figures: chain.figures,
    figure: "force",
    limit: { least, words: "valve.cold.bolts.least_preload" },
    wanted: context.wanted,
  });
}

function boltStress(context: Context, { bolts: chain }: ColdAnswer): Check {
  const most = fieldsOf(context)?.bolts?.yield_share?.value;
  const needs = [
    ...(chain === undefined
      ? ["valve.cold.bolts.material", "valve.cold.bolts.preload"]
      : needsOf(chain, "ofYield")),
    ...(most === undefined ? ["valve.cold.bolts.yield_share"] : []),
  ];
  if (needs.length > 0 || chain === undefined || most === undefined)
    return waiting(boltStressDefinition, needs);
  return judgeOwn(boltStressDefinition, {
    figures: chain.figures,
    figure: "ofYield",
    limit: { most, words: "valve.cold.bolts.yield_share" },
    wanted: context.wanted,
    unit: "%",
  });
}

function contactStress(context: Context, { seat }: ColdAnswer): Check {
  const fields = fieldsOf(context);
  const least = fields?.least_contact_stress?.value;
  const most = fields?.largest_contact_stress?.value;
  const needs = [
    ...needsOf(seat, "stress"),
    ...(least === undefined ? ["valve.cold.least_contact_stress"] : []),
    ...(most === undefined ? ["valve.cold.largest_contact_stress"] : []),
  ];
  if (needs.length > 0 || least === undefined || most === undefined) return waiting(stressDefinition, needs);
  const limit: Limit = { least, most, words: "valve.cold.least_contact_stress and largest_contact_stress" };
  const warm = seat.figures.nominal.warmStress ?? Number.NaN;
  if (warm > most)
    return failing(
      stressDefinition,
      `warm the preload alone gives ${quantityWords(warm, "stress", "MPa")}, more than the ${quantityWords(most, "stress", "MPa")} that the seat bears: it creeps until less is left`,
      { wanted: context.wanted, limit },
    );
  return judgeOwn(stressDefinition, {
    figures: seat.figures,
    figure: "stress",
    limit,
    wanted: context.wanted,
    unit: "MPa",
    assumptions: [`Warm it is ${quantityWords(warm, "stress", "MPa")}.`],
  });
}

function brittleness(
  context: Context,
  { brittle, materials, temperature, unlooked }: ColdAnswer,
  parts: readonly WarmPart[],
): Check {
  const mayBreak = parts.filter(({ brittle: limit }) => limit !== undefined);
  const count = materials + parts.length;
  const needs = [
    ...unlooked,
    ...(temperature === undefined ? ["duty.valve_temperature"] : []),
    ...mayBreak.flatMap(({ part, temperature_K }) =>
      temperature_K === undefined ? [`valve.cold.extension: what the temperature of the ${part} needs`] : [],
    ),
  ];
  const found = [
    ...brittle,
    ...mayBreak.flatMap(({ part, material, temperature_K: T, brittle: limit }) =>
      T !== undefined && limit !== undefined && T <= limit.T_K
        ? [`${part}: ${material} below ${limit.T_K} K, ${limit.limit}`]
        : [],
    ),
  ];
  if (needs.length > 0 && found.length === 0) return waiting(brittleDefinition, needs);
  const limit: Limit = { most: 0, words: "parts of a material that is brittle at that temperature" };
  if (found.length > 0)
    return failing(brittleDefinition, `brittle in the cold: ${found.join("; ")}`, {
      wanted: context.wanted,
      limit,
      unit: "parts",
    });
  return judgeOwn(brittleDefinition, {
    figures: { nominal: { brittle: 0 }, samples: {}, paths: [], points: new Float64Array(0), count: 0 },
    figure: "brittle",
    limit,
    wanted: context.wanted,
    unit: "parts",
    assumptions: [`${count} parts have a declared material on file.`],
  });
}

function sentence(context: Context, answer: ColdAnswer): string {
  const { seat, fits: all, temperature } = answer;
  const missing = needsOf(seat, "interference");
  const ofSeat =
    missing.length > 0 || temperature === undefined
      ? missingWords(missing)
      : `${seatWords(seat)} at ${quantityWords(temperature, "temperature", "K")}. ${preloadWords(context, seat)}`;
  const tight = all.filter(
    ({ figures, missing: lacking }) =>
      (lacking.clearance ?? []).length === 0 && (figures.nominal.clearance ?? 0) < 0,
  );
  const ofFits = tight.length === 0 ? "" : ` ${tight.map(({ name }) => name).join(", ")} binds in the cold.`;
  return `${ofSeat}${ofFits}`;
}

function seatWords({ figures }: ColdChain): string {
  const value = figures.nominal.interference ?? Number.NaN;
  return value > 0
    ? `Of the seats' interference ${valueWords(value, undefined, "length", "mm")} remain`
    : `The seats have come off the ball by ${valueWords(-value, undefined, "length", "mm")}`;
}
