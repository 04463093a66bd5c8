/** Question 3: does it open in time? A drive that cannot break away is an answer of its own, never a time. */
import {
  type ColdCoupling,
  closingDefinition,
  openingDefinition,
  type StrokeHistory,
} from "../predict/index.js";
import type { Driver } from "./answer.js";
import { backwardShare, backwardWords, forwardNeeds } from "./backwards.js";
import type { Check, CheckDefinition, Limit } from "./check.js";
import { bandFor, type Context, chanceOf, faultsAmong, hasFlow, labelOf, nominalValue } from "./context.js";
import { definitionLabel } from "./definition.js";
import { judge, missingOf } from "./judge.js";
import { noticesFor } from "./notices.js";
import { openingFigures } from "./openingFigures.js";
import { openingTables } from "./openingTables.js";
import { pressureWords } from "./pressures.js";
import type { Finding, Question } from "./question.js";
import { spreadFigures } from "./spreadFigures.js";
import {
  bandWords,
  limitWords,
  missingWords,
  percentWords,
  probabilityWords,
  quantityWords,
  valueWords,
} from "./words.js";

/** Question 3. */
export const opening: Question = {
  id: "opening",
  number: 3,
  words: "Does it open in time?",
  answer: (context): Finding => {
    // Times by another definition than the one meant are not shown.
    const isDefined = faultsAmong(context, [opensBy, closesBy]).length === 0;
    const coupling = isDefined ? context.own.coupling(context.prediction.definition) : undefined;
    return {
      sentence: sentence(context),
      checks: [
        openingTime(context, coupling),
        closingTime(context),
        motorThermal(context),
        supplySag(context),
      ],
      figures: isDefined ? [...openingFigures(context), ...spreadFigures(context)] : [],
      tables: isDefined ? openingTables(context, coupling) : [],
      drivers: isDefined ? drivers(context) : [],
      notices: noticesFor(context, "opening"),
    };
  },
};

const opensBy = "duty.open_within.definition";
const closesBy = "duty.close_within.definition";

const openingDefinitionOfCheck: CheckDefinition = {
  id: "opening-time",
  designChecks: ["opening-time"],
  failureModes: ["slow-open", "no-open"],
  name: "Opening time",
  dimension: "time",
  equation: "J dw/dt = T_drive - T_demand, integrated from event to event; P(t <= limit) >= wanted",
  source: "nasa-sp-8097, actuation time",
  assumptions: [
    "Rigid train with exact stick and slip; a sample that does not open meets no limit.",
    "Times are summarised over the openings that happen.",
  ],
};

function openingTime(context: Context, coupling: ColdCoupling | undefined): Check {
  const { duty, prediction } = context;
  const limit = duty.open_within?.time?.value;
  return timeCheck(context, openingDefinitionOfCheck, prediction.nominal.opening, {
    column: `opening:${prediction.definition}`,
    limit: limit === undefined ? undefined : { most: limit, words: "duty.open_within.time" },
    needs: [
      ...missingOf({ "duty.open_within.time": duty.open_within?.time }),
      ...faultsAmong(context, [opensBy]),
      ...forwardNeeds(context),
    ],
    assumptions: [
      pressureWords(context),
      ...standIn(openingDefinition(prediction.dossier), prediction.definition),
      ...couplingWords(coupling),
    ],
  });
}

/** How the preload that the cold leaves moves the opening. */
function couplingWords(coupling: ColdCoupling | undefined): readonly string[] {
  if (coupling === undefined) return [];
  const { left, kept } = coupling;
  const newtons = (force: number) => quantityWords(force, "force");
  const change =
    left.time_s === undefined || kept.time_s === undefined
      ? "with all of it one of the two does not open"
      : `with all of it the nominal opening takes ${quantityWords(Math.abs(kept.time_s - left.time_s), "time", "ms")} ${kept.time_s >= left.time_s ? "longer" : "less"}`;
  return [
    `The cold leaves ${newtons(left.preload_N)} of the ${newtons(kept.preload_N)} of preload of the seats (question 6): ${change}.`,
  ];
}

const closingDefinitionOfCheck: CheckDefinition = {
  id: "closing-time",
  designChecks: ["closing-time"],
  failureModes: ["no-close", "shock"],
  name: "Abort closing time",
  dimension: "time",
  equation: "as the opening time, with the flow's torque towards closed",
  source: "nasa-sp-8097, actuation time",
  assumptions: [
    "Full flow at the start of closing; the command to close meets an open valve at rest.",
    "A lower limit, if given, is what the line's surge allows; it is taken as given, not computed.",
  ],
};

function closingTime(context: Context): Check {
  const { duty, prediction } = context;
  const within = duty.close_within;
  const most = within?.time?.value;
  const least = within?.no_faster_than?.value;
  const definition = closingUsed(context);
  return timeCheck(context, closingDefinitionOfCheck, prediction.nominal.closing, {
    column: `closing:${definition}`,
    limit:
      most === undefined
        ? undefined
        : {
            most,
            ...(least === undefined ? {} : { least }),
            words:
              least === undefined ? "duty.close_within.time" : "duty.close_within.time and no_faster_than",
          },
    needs: [
      ...missingOf({ "duty.close_within.time": within?.time }),
      ...faultsAmong(context, [closesBy, "duty.close_within.no_faster_than"]),
      ...forwardNeeds(context),
    ],
    assumptions: [
      ...standIn(closingDefinition(prediction.dossier), definition),
      ...(least === undefined ? ["No shortest closing time is given: surge is not judged."] : []),
    ],
  });
}

/** Without a flowing liquid there is no flow event on closing either. */
export function closingUsed(context: Context): string {
  const wanted = closingDefinition(context.prediction.dossier);
  return wanted === "command-to-90-flow" && !hasFlow(context) ? "command-to-end" : wanted;
}

function standIn(asked: string, used: string): readonly string[] {
  return asked === used
    ? [`Defined as ${definitionLabel(used)}.`]
    : [
        `Defined as ${definitionLabel(used)}: no liquid flows in this case, so it stands in for ${definitionLabel(asked)}.`,
      ];
}

/** A time against its limit, or the finding that there is none. */
function timeCheck(
  context: Context,
  definition: CheckDefinition,
  stroke: StrokeHistory | undefined,
  how: {
    readonly column: string;
    readonly limit: Limit | undefined;
    readonly needs: readonly string[];
    readonly assumptions: readonly string[];
  },
): Check {
  const isCutOff = stroke?.outcome === "out of time";
  if (
    stroke !== undefined &&
    (stroke.outcome === "stalled" || (isCutOff && nominalValue(context, how.column) === undefined))
  ) {
    return {
      ...definition,
      assumptions: [...definition.assumptions, ...how.assumptions],
      unit: "ms",
      standing: "judged",
      kind: "failed",
      verdict: "fails",
      finding: stallWords(context, stroke),
      limit: how.limit,
      probability: how.limit === undefined ? undefined : chanceOf(context, how.column, how.limit),
      wanted: context.wanted,
    };
  }
  return judge(context, definition, {
    ...how,
    assumptions: isCutOff ? [...how.assumptions, cutOffAssumption] : how.assumptions,
    matter: "motion",
    absent: "a predicted stroke that arrives",
    criterion: "percentile",
  });
}

const cutOffAssumption =
  "The nominal stroke is late: it passes the events of this definition and was not followed to the end of travel.";

/** Why a stroke has no time: where it stalls, what is short, and which ratio would break away. */
export function stallWords(context: Context, stroke: StrokeHistory): string {
  const { prediction } = context;
  const verb = stroke.sense === "opening" ? "open" : "close";
  const { stall } = stroke;
  if (stall === undefined) {
    const reached = quantityWords(stroke.angle_rad.at(-1) ?? 0, "angle", "deg");
    const rests = nominalValue(context, stroke.sense === "opening" ? "opens" : "closes") === 0;
    if (rests) return `does not ${verb}: its command leaves it at rest at ${reached}, short of its travel`;
    const followed = quantityWords(stroke.time_s.at(-1) ?? 0, "time");
    return `${verb}s later than it was followed: after ${followed} it is at ${reached} and has not stalled`;
  }
  const angle = quantityWords(stall.angle_rad, "angle", "deg");
  const lacking = quantityWords(stall.lackingTorque_Nm, "torque", "N m");
  const { ratio } = prediction.nominal;
  const isBreakaway = stroke.sense === "opening" && stall.angle_rad < nearlyClosed;
  const ratioWords =
    !isBreakaway || ratio === undefined
      ? ""
      : ratio.lowest === undefined
        ? "; no gear ratio would break away, because the drive gives no torque beyond its own friction"
        : `; the lowest total ratio that would break away is ${quantityWords(ratio.lowest, "ratio")} (present ${quantityWords(ratio.present, "ratio")})`;
  return `does not ${verb}: it stalls at ${angle}, ${lacking} short at the stem${ratioWords}`;
}

/** An opening below this counts as not broken away [rad]. */
const nearlyClosed = 1e-6;

const thermalDefinition: CheckDefinition = {
  id: "motor-thermal",
  designChecks: ["motor-thermal"],
  failureModes: ["motor-overheat"],
  name: "Winding temperature",
  dimension: "temperature",
  equation: "C_w dT_w/dt = i^2 R(T_w) - (T_w - T_c)/R_wc, C_c dT_c/dt = (T_w - T_c)/R_wc - (T_c - T_a)/R_ca",
  source: "leonhard-2001, two-node thermal model; iec60034-1, thermal class of the limit",
  assumptions: [
    "Duty: the declared number of strokes, each with the copper loss of the nominal opening and a hold at stall.",
    "Surroundings at the motor's temperature when the duty begins.",
    "The winding's resistance grows with its temperature, 0.39 % of that at 20 degC per kelvin: the loss of a stroke, whose current the load sets, and of a hold at the current limit grow with it. Where the voltage sets the current of a hold, its loss stays at the greater value of the start.",
  ],
};

function motorThermal(context: Context): Check {
  const limit = context.prediction.dossier.valve.drive?.motor?.winding_limit;
  return judge(context, thermalDefinition, {
    column: "winding-temperature",
    limit: limit === undefined ? undefined : { most: limit.value, words: "drive.motor.winding_limit" },
    matter: "heat",
    needs: missingOf({ "drive.motor.winding_limit": limit }),
    absent: "a predicted stroke",
    unit: limit === undefined || limit.unit === "" ? "K" : limit.unit,
  });
}

const sagDefinition: CheckDefinition = {
  id: "supply-sag",
  designChecks: ["supply-sag"],
  failureModes: ["slow-open"],
  name: "Voltage at the driver at peak current",
  dimension: "voltage",
  equation: "V = V_open - i (R_battery + R_cable) >= V_undervoltage + margin",
  source: "common practice, no source",
  assumptions: [
    "The lowest voltage of opening, closing and the hold against the stop, where the drive takes min(V_open / R, current limit); the battery in the declared state of charge and temperature.",
    "A driver that trips is not in the motion: the times do not know of it.",
  ],
};

function supplySag(context: Context): Check {
  const driver = context.prediction.dossier.valve.drive?.driver;
  const trip = driver?.undervoltage?.value;
  const margin = driver?.undervoltage_margin?.value;
  return judge(context, sagDefinition, {
    column: "lowest-voltage",
    limit:
      trip === undefined || margin === undefined
        ? undefined
        : { least: trip + margin, words: "drive.driver.undervoltage + undervoltage_margin" },
    matter: "motion",
    needs: missingOf({
      "drive.driver.undervoltage": driver?.undervoltage,
      "drive.driver.undervoltage_margin": driver?.undervoltage_margin,
    }),
    absent: "a predicted stroke",
    unit: "V",
  });
}

function sentence(context: Context): string {
  const { prediction } = context;
  const { opening: stroke, closing } = prediction.nominal;
  const { motion } = prediction.missing;
  if (stroke === undefined) return missingWords(motion, faultsAmong(context, motion));
  const undefinedBy = faultsAmong(context, [opensBy, closesBy]);
  if (undefinedBy.length > 0 && stroke.outcome !== "stalled") return missingWords(undefinedBy, undefinedBy);
  const backwards = backwardWords(context);
  if (backwards !== undefined) return `Not known: ${backwards}.`;
  const hasTime = (history: StrokeHistory, column: string) =>
    history.outcome === "arrived" ||
    (history.outcome === "out of time" && nominalValue(context, column) !== undefined);
  const opens = hasTime(stroke, `opening:${prediction.definition}`)
    ? `Opens in ${timeWords(context, "opening", prediction.definition)}`
    : upperFirst(stallWords(context, stroke));
  const closes =
    closing === undefined
      ? ""
      : hasTime(closing, `closing:${closingUsed(context)}`)
        ? ` Closes in ${timeWords(context, "closing", closingUsed(context))}${closingChance(context)}.`
        : ` ${upperFirst(stallWords(context, closing))}${closingChance(context)}.`;
  const chance = prediction.band?.notOpening;
  if (chance !== undefined && chance.estimate > quietChance && opens.startsWith("Opens in"))
    return `The probability of not opening is ${probabilityWords(chance)}; the nominal valve ${lowerFirst(opens)}.${standInWords(context)}${closes}`;
  const back = backwardShare(context);
  const backwardsToo = back === undefined ? "" : ` ${upperFirst(back)}.`;
  return `${opens}${chances(context)}.${standInWords(context)}${closes}${backwardsToo}`;
}

/** Says so where the limit's own definition does not exist in this case. */
function standInWords({ prediction }: Context): string {
  const asked = openingDefinition(prediction.dossier);
  if (asked === prediction.definition) return "";
  return ` No liquid flows in this case: ${definitionLabel(prediction.definition)} stands in for ${definitionLabel(asked)}.`;
}

/** "201 ms from command to 90 % flow (95 % of openings between 185 and 220 ms; limit 800 ms)". */
function timeWords(context: Context, sense: "opening" | "closing", definition: string): string {
  const { duty } = context;
  const column = `${sense}:${definition}`;
  const value = nominalValue(context, column);
  if (value === undefined) return "a time that is not known";
  const band = bandFor(context, column);
  const shown = valueWords(value, band, "time");
  const unit = shown.split(" ").at(-1) ?? "s";
  const within = sense === "opening" ? duty.open_within : duty.close_within;
  const most = within?.time?.value;
  const least = sense === "closing" ? duty.close_within?.no_faster_than?.value : undefined;
  const limit: Limit | undefined =
    most === undefined ? undefined : { most, ...(least === undefined ? {} : { least }), words: "" };
  const parts = [
    ...(band === undefined
      ? []
      : [`${percentWords(band.coverage)} of ${sense}s ${bandWords(band, "time", unit)}`]),
    limit === undefined ? "no limit given" : `limit ${limitWords(limit, "time", unit)}`,
  ];
  return `${shown} from ${definitionLabel(definition)} (${parts.join("; ").replace("limit at most", "limit")})`;
}

/** The probability of not opening, apart from the times of the openings that happen. */
function chances({ prediction }: Context): string {
  const chance = prediction.band?.notOpening;
  return chance === undefined ? "" : `; the probability of not opening is ${probabilityWords(chance)}`;
}

/** The probability of not closing, where a sample showed it. */
function closingChance({ prediction }: Context): string {
  const chance = prediction.band?.notClosing;
  return chance === undefined || chance.estimate === 0
    ? ""
    : `; the probability of not closing is ${probabilityWords(chance)}`;
}

/** A greater probability of not opening than this comes before the time of the openings that happen [-]. */
const quietChance = 0.05;

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

function upperFirst(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** Inputs with a smaller share than this are left out. */
const leastShare = 0.005;

function drivers(context: Context): readonly Driver[] {
  return context.prediction.effects
    .filter(({ total }) => total.estimate >= leastShare)
    .map(({ path, first, total }): Driver => {
      const share = Math.min(Math.max(total.estimate, 0), 1);
      const alone = Math.min(Math.max(first.estimate, 0), share);
      return {
        path,
        label: labelOf(context, path),
        words: `takes part in ${percentWords(share, total)} of the variance of the opening rate; ${percentWords(alone, first)} would go if it alone were known`,
        measure: "total effect",
        share,
        alone,
      };
    });
}
