/** Heat through the extension in question 6: how cold the drive becomes, what leaks, frost, and what the cold pulls at. */
import { materialNamed } from "../dossier/index.js";
import { condensedAir } from "../physics/heat/index.js";
import { type ColdChain, type HeatAnswer, ownBand } from "../predict/index.js";
import type { Driver } from "./answer.js";
import type { Check, CheckDefinition } from "./check.js";
import { type Context, faultsAmong } from "./context.js";
import { heatFigures, heatTables } from "./heatFigures.js";
import { judgeOwn, waiting } from "./judgeOwn.js";
import type { Finding } from "./question.js";
import { rankOwnDrivers } from "./rankDrivers.js";
import { bandWords, percentWords, quantityWords, valueWords } from "./words.js";

const path = "valve.cold.extension";

const gearboxDefinition: CheckDefinition = {
  id: "gearbox-temperature",
  designChecks: ["gear-temp"],
  failureModes: ["grease", "slow-open"],
  name: "Gearbox temperature",
  dimension: "temperature",
  equation:
    "(k A T')' + q_air(T) = 0 along the extension; heat through it = q_air A_g + (T_m - T_g)/R_m + heater; T_g >= least",
  source:
    "common practice, no source; conductivity nist-cryogenics-2010, air churchill-chu-1975-plate, derived in docs/theory/heat.md",
  assumptions: [
    "The gas in the gap between tube and stem is at rest; gearbox and motor are of one temperature each.",
    "Sun, rain and what the drive's own losses give are not in it.",
  ],
};

const motorDefinition: CheckDefinition = {
  ...gearboxDefinition,
  id: "motor-temperature",
  designChecks: ["heat-leak"],
  failureModes: ["overtemp-magnet"],
  name: "Motor temperature before the stroke",
  equation: "(T_a - T_m)/R_a = (T_m - T_g)/R_m, with the gearbox as in gearbox-temperature; T_m >= least",
};

const packingDefinition: CheckDefinition = {
  ...gearboxDefinition,
  id: "packing-temperature",
  designChecks: ["heat-leak"],
  failureModes: ["stem-leak"],
  name: "Packing temperature",
  equation: "temperature of the stem at the packing, steady; T >= least",
};

const leakDefinition: CheckDefinition = {
  id: "heat-leak",
  designChecks: ["heat-leak"],
  failureModes: [],
  name: "Heat leak through extension",
  dimension: "power",
  equation: "Q = [k_t A_t T' + k_s A_s S'] at the cold end; (A/L) int k dT without heat from the air",
  source: "nist-cryogenics-2010, conductivity; derived in docs/theory/heat.md",
  assumptions: ["Steady; heat that the body itself takes from the air is not in it."],
};

const frostDefinition: CheckDefinition = {
  id: "frost",
  designChecks: ["frost"],
  failureModes: ["ice"],
  name: "Frost and condensation, gearbox and motor",
  dimension: "temperature difference",
  equation: "min(T_gearbox, T_motor) - T_dew >= 0",
  source: "wmo-guide-8-2008, annex 4.B, dew point; derived in docs/theory/heat.md",
  assumptions: ["Ice that falls and water that runs down from elsewhere are not in it."],
};

const liquidAirDefinition: CheckDefinition = {
  id: "frost",
  designChecks: ["frost"],
  failureModes: ["liquid-air"],
  name: "Frost and condensation, liquid air on the extension",
  dimension: "temperature",
  equation: "outside temperature at the cold end >= boiling point of oxygen at one atmosphere",
  source: "schmidt-wagner-1985, boiling point; derived in docs/theory/heat.md",
  assumptions: [
    `Air itself condenses below ${condensedAir.airCondenses} K; what has condensed drips rich in oxygen and stays liquid up to the limit.`,
    "The body and the line are not in it: bare, they are as cold as the valve.",
  ],
};

const misalignmentDefinition: CheckDefinition = {
  id: "stem-gearbox-misalignment",
  designChecks: ["coupling-misalign"],
  failureModes: ["binding"],
  name: "Stem-to-gearbox misalignment cold",
  dimension: "length",
  equation: "-float <= int c_stem dx - int c_tube dx - c_bracket L_bracket <= float of the coupling",
  source: "nist-cryogenics-2010, integral contraction; derived in docs/theory/heat.md",
  assumptions: [
    "Along the stem, each place at its own steady temperature; stem and tube hang on the body at the cold end.",
    "A tilt of the bracket by an uneven temperature is not in it.",
  ],
};

const pipeDefinition: CheckDefinition = {
  id: "pipe-load",
  designChecks: ["pipe-load"],
  failureModes: [],
  name: "Pipe contraction load on valve ends",
  dimension: "force",
  equation: "-F_most <= c L k <= F_most",
  source: "asme-b31.3-2016, 319; nist-cryogenics-2010, integral contraction",
  assumptions: [
    "The whole length has the temperature of the valve; pressure thrust and bending moments are not in it.",
  ],
};

const polymerDefinition: CheckDefinition = {
  id: "polymer-state",
  designChecks: ["polymer-glass"],
  failureModes: ["seat-leak"],
  name: "Polymer state",
  dimension: "temperature",
  equation: "T_seat >= upper end of the glass-like transition, or T_seat >= temperature of a seat test",
  source: "nasa-sp-8097, seat materials; transition as in data/solids",
  assumptions: ["The seat has the temperature of the valve."],
};

/** What the heat adds to the answer. */
export interface HeatFinding extends Required<Omit<Finding, "verdict">> {
  readonly answer: HeatAnswer;
}

/** Answers for the heat of the case. The sentence is empty where no extension is declared. */
export function heatFinding(context: Context): HeatFinding {
  const answer = context.own.heat;
  const { extension } = answer;
  return {
    answer,
    sentence: sentence(answer),
    checks: [
      temperature(context, answer, gearboxDefinition, "gearbox"),
      temperature(context, answer, motorDefinition, "motor"),
      temperature(context, answer, packingDefinition, "packing"),
      leak(context, answer),
      ...frost(context, answer),
      misalignment(context, answer),
      pipeLoad(context, answer),
      polymerState(context, answer),
    ],
    figures: heatFigures(answer, limitsOf(context)),
    tables: heatTables(context, answer),
    drivers: [
      ...drivers(context, extension, "gearbox", "the gearbox's temperature"),
      ...drivers(context, extension, "leak", "the heat leak through the extension"),
    ],
    notices: answer.notices,
  };
}

/** Two figures have drivers of their own: the label says which one is driven. */
function drivers(
  context: Context,
  { figures }: ColdChain,
  figure: "gearbox" | "leak",
  of: string,
): readonly Driver[] {
  return rankOwnDrivers(context, figures, figure, of).map((driver) => ({
    ...driver,
    label: `${driver.label}, for ${of}`,
  }));
}

function fieldsOf({ prediction }: Context) {
  return prediction.dossier.valve.valve?.cold;
}

function limitsOf(context: Context) {
  const given = fieldsOf(context)?.extension;
  return {
    gearbox: given?.gearbox?.least_temperature?.value,
    motor: given?.motor?.least_temperature?.value,
    packing: given?.packing?.least_temperature?.value,
    packingAt: given?.packing?.at?.value,
  };
}

/** One line stands for all fields of an extension that nobody has declared. */
const wholeExtension = `${path}: its tube and stem, the air around it, gearbox and motor`;

function extensionNeeds({ isDeclared, extension }: HeatAnswer, figure: string): readonly string[] {
  return isDeclared ? needsOf(extension, figure) : [wholeExtension];
}

function needsOf(chain: ColdChain, figure: string): readonly string[] {
  return [
    ...(chain.unfit === undefined ? [] : [`a case within the data of its solids: ${chain.unfit}`]),
    ...(chain.missing[figure] ?? []),
  ];
}

function whenWords({ profile, extension }: HeatAnswer, body: "gearbox" | "motor"): readonly string[] {
  if (profile?.coldFor_s === undefined)
    return [`Steady: as cold as it becomes; ${path}.cold_before_dwell tells how long it has had.`];
  const steady =
    extension.figures.nominal[body === "gearbox" ? "steadyGearbox" : "steadyMotor"] ?? Number.NaN;
  return [
    `After ${quantityWords(profile.coldFor_s, "time")} in the cold, from the temperature of the air; steady it is ${quantityWords(steady, "temperature", "K")}.`,
  ];
}

function temperature(
  context: Context,
  answer: HeatAnswer,
  definition: CheckDefinition,
  body: "gearbox" | "motor" | "packing",
): Check {
  const least = limitsOf(context)[body];
  const limitPath = `${path}.${body}.least_temperature`;
  const needs = [...extensionNeeds(answer, body), ...(least === undefined ? [limitPath] : [])];
  if (needs.length > 0 || least === undefined) return waiting(definition, needs);
  return judgeOwn(definition, {
    figures: answer.extension.figures,
    figure: body,
    limit: { least, words: limitPath },
    wanted: context.wanted,
    unit: "K",
    assumptions: body === "packing" ? [] : whenWords(answer, body),
  });
}

function leak(context: Context, answer: HeatAnswer): Check {
  const most = fieldsOf(context)?.extension?.largest_heat_leak?.value;
  const limitPath = `${path}.largest_heat_leak`;
  const needs = [...extensionNeeds(answer, "leak"), ...(most === undefined ? [limitPath] : [])];
  if (needs.length > 0 || most === undefined) return waiting(leakDefinition, needs);
  return judgeOwn(leakDefinition, {
    figures: answer.extension.figures,
    figure: "leak",
    limit: { most, words: limitPath },
    wanted: context.wanted,
    unit: "W",
  });
}

function frost(context: Context, answer: HeatAnswer): readonly Check[] {
  const { extension } = answer;
  const ofDrive = extensionNeeds(answer, "aboveDew");
  const ofSurface = extensionNeeds(answer, "outside");
  return [
    ofDrive.length > 0
      ? waiting(frostDefinition, ofDrive)
      : judgeOwn(frostDefinition, {
          figures: extension.figures,
          figure: "aboveDew",
          limit: { least: 0, words: "no moisture settles on gearbox and motor" },
          wanted: context.wanted,
          unit: "K",
        }),
    ofSurface.length > 0
      ? waiting(liquidAirDefinition, ofSurface)
      : judgeOwn(liquidAirDefinition, {
          figures: extension.figures,
          figure: "outside",
          limit: { least: condensedAir.oxygenBoils, words: "boiling point of oxygen at one atmosphere" },
          wanted: context.wanted,
          unit: "K",
        }),
  ];
}

function misalignment(context: Context, answer: HeatAnswer): Check {
  const most = fieldsOf(context)?.extension?.bracket?.coupling_float?.value;
  const limitPath = `${path}.bracket.coupling_float`;
  const needs = [...extensionNeeds(answer, "shift"), ...(most === undefined ? [limitPath] : [])];
  if (needs.length > 0 || most === undefined) return waiting(misalignmentDefinition, needs);
  return judgeOwn(misalignmentDefinition, {
    figures: answer.extension.figures,
    figure: "shift",
    limit: { least: -most, most, words: limitPath },
    wanted: context.wanted,
    unit: "mm",
  });
}

function pipeLoad(context: Context, { pipe }: HeatAnswer): Check {
  const most = fieldsOf(context)?.pipe?.largest_end_load?.value;
  const limitPath = "valve.cold.pipe.largest_end_load";
  const needs = [...needsOf(pipe, "force"), ...(most === undefined ? [limitPath] : [])];
  if (needs.length > 0 || most === undefined) return waiting(pipeDefinition, needs);
  return judgeOwn(pipeDefinition, {
    figures: pipe.figures,
    figure: "force",
    limit: { least: -most, most, words: limitPath },
    wanted: context.wanted,
  });
}

/** Above its transition a seat follows; below it, only a test shows that it seals. */
function polymerState(context: Context, { seat }: HeatAnswer): Check {
  const fields = fieldsOf(context);
  const name = fields?.seat_material;
  const material = materialNamed(context.prediction.dossier.valve, name);
  const glass = material?.file.glass_transition;
  const T = seat.figures.nominal.temperature ?? Number.NaN;
  const testedPath = "valve.cold.seat_tested_at";
  const tested = fields?.seat_tested_at?.value;
  const isGlassy = glass !== undefined && T < glass.high_K;
  const needs = [
    ...needsOf(seat, "temperature"),
    ...(material === undefined ? ["valve.cold.seat_material"] : []),
    ...(material !== undefined && glass === undefined
      ? [`the glass-like transition of ${material.name} in its data file`]
      : []),
    ...(isGlassy && tested === undefined ? [testedPath] : []),
    ...(isGlassy && tested !== undefined && tested > T
      ? ["a test of the seats at or below the temperature of the valve"]
      : []),
    ...faultsAmong(context, [testedPath]),
  ];
  if (needs.length > 0 || glass === undefined || material === undefined)
    return waiting(polymerDefinition, needs);
  const from = quantityWords(glass.low_K, "temperature", "K");
  const to = quantityWords(glass.high_K, "temperature", "K");
  const isTested = isGlassy && tested !== undefined;
  return judgeOwn(polymerDefinition, {
    figures: seat.figures,
    figure: "temperature",
    limit: isTested
      ? { least: tested, words: testedPath }
      : { least: glass.high_K, words: `upper end of the transition of ${material.name}` },
    wanted: context.wanted,
    unit: "K",
    assumptions: [
      `The glass-like transition of ${material.name} lies between ${from} and ${to}, ${glass.sources.join(", ")}, from ${glass.from}.`,
      ...(isTested
        ? ["Below it the seat is stiff and follows no fast ovality: what a test showed stands in for it."]
        : []),
    ],
  });
}

function sentence(answer: HeatAnswer): string {
  const { extension, isDeclared } = answer;
  if (!isDeclared || needsOf(extension, "gearbox").length > 0) return "";
  const words = (figure: "gearbox" | "leak", dimension: "temperature" | "power", unit: string) => {
    const value = extension.figures.nominal[figure] ?? Number.NaN;
    const band = ownBand(extension.figures.samples[figure] ?? new Float64Array(0));
    const spread =
      band === undefined ? "" : ` (${percentWords(band.coverage)} ${bandWords(band, dimension, unit)})`;
    return `${valueWords(value, band, dimension, unit)}${spread}`;
  };
  const leaks = (extension.figures.nominal.leak ?? 0) > 0;
  const ofLeak = leaks ? `; ${words("leak", "power", "W")} leak through the extension` : "";
  return `The gearbox is at ${words("gearbox", "temperature", "K")} when the stroke begins${ofLeak}.`;
}
