/** Question 2: can it be turned? */
import { marginRules } from "../dossier/index.js";
import { limitFaults, phaseFaults, type Sense, type WorstPoint } from "../predict/index.js";
import type { Table } from "./answer.js";
import type { Check, CheckDefinition } from "./check.js";
import { bandFor, type Context, faultsAmong, nominalValue } from "./context.js";
import { judge, missingOf } from "./judge.js";
import { noticesFor } from "./notices.js";
import { pressureWords } from "./pressures.js";
import type { Finding, Question } from "./question.js";
import { rankDrivers } from "./rankDrivers.js";
import { turningFigures } from "./turningFigures.js";
import { bandWords, missingWords, percentWords, quantityWords, valueWords } from "./words.js";

/** Question 2. */
export const turning: Question = {
  id: "turning",
  number: 2,
  words: "Can it be turned?",
  answer: (context): Finding => ({
    sentence: sentence(context),
    checks: [
      breakTorque(context),
      runTorque(context),
      endTorque(context),
      iceTorque(context),
      torqueMargin(context),
      motorisation(context),
    ],
    figures: turningFigures(context),
    tables: startTables(context),
    notices: noticesFor(context, "turning"),
    drivers: hasDrive(context)
      ? rankDrivers(context, "breakaway-margin", "the margin of breakaway")
      : rankDrivers(context, "breakaway-torque", "the breakaway torque"),
  }),
};

function hasDrive(context: Context): boolean {
  return nominalValue(context, "standstill-torque") !== undefined;
}

/** Where all fields are given and a torque at speed does not exist: the limit leaves no time to move in. */
const noSpeed = "duty.open_within.time longer than the dead time";

/** What a torque at the speed wanted needs beside its matter. */
function speedNeeds({ duty, prediction }: Context, ...senses: readonly Sense[]): readonly string[] {
  return [
    ...missingOf({ "duty.open_within.time": duty.open_within?.time }),
    ...senses.flatMap((sense) => limitFaults(prediction.dossier, sense)),
  ];
}

/** What a margin by a rule needs beside its matter. */
function ruleNeeds(context: Context): readonly string[] {
  return [
    ...speedNeeds(context, "opening", "closing"),
    ...missingOf({ "duty.margin_rule": context.duty.margin_rule }),
    ...phaseFaults(context.prediction.dossier),
  ];
}

const breakDefinition: CheckDefinition = {
  id: "break-torque",
  designChecks: ["break-torque"],
  failureModes: ["no-open"],
  name: "Breakaway torque",
  dimension: "torque",
  equation:
    "T = (seats + packing + stem thrust + bearings) breakaway ratio x dwell factor + ice + flow <= T_standstill",
  source: "nasa-sp-8097, torque to open; terms derived in docs/theory/seat.md",
  assumptions: [
    "Available torque at standstill: voltage under load, current limit, winding at its declared temperature, gears driving.",
    "Probability: the available torque is uncertain too, and each sample is held against its own.",
  ],
};

function breakTorque(context: Context): Check {
  const standstill = nominalValue(context, "standstill-torque");
  return judge(context, breakDefinition, {
    column: "breakaway-torque",
    limit:
      standstill === undefined
        ? undefined
        : { most: Math.max(standstill, 0), words: "torque of the drive at standstill, at the stem" },
    matter: standstill === undefined ? "motion" : "torque",
    needs: [],
    absent: "drive",
    kept: { column: "breakaway-margin", limit: { least: 0 } },
    assumptions: hasBreakaway(context) ? [pressureWords(context), ...restWords(context)] : [],
    unit: "N m",
  });
}

function hasBreakaway(context: Context): boolean {
  return nominalValue(context, "breakaway-torque") !== undefined;
}

/** Whose breakaway ratio multiplies what, which gears start worse than they run, and which seats are loaded. */
function restWords(context: Context): readonly string[] {
  const { valve, drive } = context.prediction.dossier.valve;
  const follows = [
    ["packing", valve?.packing?.breakaway_ratio],
    ["thrust collar", valve?.stem?.collar_breakaway_ratio],
    ...(valve?.support === "trunnion" ? ([["bearings", valve.bearing?.breakaway_ratio]] as const) : []),
  ].flatMap(([name, own]) => (own === undefined ? [name] : []));
  const starting = (drive?.stages ?? []).flatMap(({ starting_efficiency: eta }, j) =>
    eta === undefined
      ? []
      : [`stage ${j + 1} starts with an efficiency of ${quantityWords(eta.value, "ratio", "%")}`],
  );
  return [
    ...(follows.length > 0
      ? [`The seats' breakaway ratio stands for ${follows.join(", ")} too; the dwell multiplies all of them.`]
      : [
          "Seats, packing, collar and bearings each have their own breakaway ratio; the dwell multiplies all of them.",
        ]),
    ...(starting.length > 0 ? [`From rest, ${starting.join(", ")}.`] : []),
    ...(valve?.support === "trunnion" ? [seatsWords(valve.seat?.pressure_effect)] : []),
  ];
}

function seatsWords(effect: "single piston" | "double piston" | undefined): string {
  return effect === "double piston"
    ? "Pressure pushes both trunnion seats on the ball: seats of double piston effect hold the cavity's pressure from both sides."
    : "Pressure pushes one trunnion seat on the ball, that at the higher pressure; the cavity is at the lower pressure, vented past the other. A cavity that holds pressure loads both: declare valve.seat.pressure_effect.";
}

const runDefinition: CheckDefinition = {
  id: "run-torque",
  designChecks: ["run-torque"],
  failureModes: ["slow-open"],
  name: "Running torque against angle",
  dimension: "torque",
  equation: "max over the opening of (running friction + C_T dp d^3) <= T at the wanted speed",
  source: "nasa-sp-8097, torque to open; terms derived in docs/theory/seat.md",
  assumptions: [
    "Wanted speed: the angle between the two events by which the opening limit is defined, over the limit less the dead time.",
    "Probability: the available torque is uncertain too, and each sample is held against its own.",
  ],
};

function runTorque(context: Context): Check {
  const available = context.prediction.nominal.drive?.atWantedSpeed_Nm;
  return judge(context, runDefinition, {
    column: "running-torque",
    limit:
      available === undefined
        ? undefined
        : { most: Math.max(available, 0), words: "torque of the drive at the wanted speed, at the stem" },
    matter: "motion",
    needs: speedNeeds(context, "opening"),
    absent: noSpeed,
    kept: { column: "running-margin", limit: { least: 0 } },
    unit: "N m",
  });
}

const endDefinition: CheckDefinition = {
  id: "end-torque",
  designChecks: ["end-torque"],
  failureModes: ["no-close"],
  name: "Torque to close and end-to-close",
  dimension: "ratio",
  equation: "min over the opening of T_standstill / (friction towards closed + max(-flow, 0)) - 1 >= 0",
  source: "nasa-sp-8097, torque to close",
  assumptions: [
    "The flow helps to close and may be absent: its help is not counted.",
    "From open it starts with a breakaway; what holds the closed valve without power is not judged here.",
  ],
};

function endTorque(context: Context): Check {
  return judge(context, endDefinition, {
    column: "closing-margin",
    limit: { least: 0, words: "torque needed to close" },
    matter: "motion",
    needs: [],
    absent: "drive",
    unit: "%",
  });
}

const iceDefinition: CheckDefinition = {
  id: "ice-torque",
  designChecks: ["ice-torque"],
  failureModes: ["ice"],
  name: "Ice and moisture torque",
  dimension: "torque",
  equation: "declared extra torque, added to the friction; 0 excludes it",
  source: "common practice, no source",
  assumptions: [
    "Whoever writes 0 N m keeps moisture out: purge gas with a dew point of -40 degC or lower is usual.",
  ],
};

/** Holds once somebody has said how much ice there is, none included. */
function iceTorque(context: Context): Check {
  const declared = context.prediction.dossier.valve.valve?.ice_torque;
  const frame = { ...iceDefinition, unit: "N m", standing: "judged" } as const;
  if (declared === undefined || declared.origin === "default")
    return { ...frame, kind: "unknown", verdict: "not known", needs: ["valve.ice_torque"] };
  return {
    ...frame,
    kind: "known",
    verdict: "holds",
    value: declared.value,
    band: undefined,
    limit: { least: 0, words: "stated in the valve file" },
    margin: declared.value,
    probability: undefined,
    wanted: context.wanted,
  };
}

const marginDefinition: CheckDefinition = {
  id: "torque-margin",
  designChecks: ["torque-margin"],
  failureModes: ["slow-open", "no-open"],
  name: "Torque margin at each point",
  dimension: "ratio",
  equation: "TM = T_available / (FS_k T_known + FS_v T_variable) - 1 >= 0 at every opening, in both senses",
  source: "nasa-std-5017a, clause number not known; gsfc-std-7000, torque ratio table; factors from memory",
  assumptions: [
    "Friction, ice and flow count as variable torques; the inertia is left out, because the speed wanted is a steady one.",
    "At the start of motion the drive gives its torque at standstill, elsewhere that at the wanted speed; flow that helps is not counted.",
  ],
};

function torqueMargin(context: Context): Check {
  const { duty } = context;
  const { nasa } = marginRules(duty.margin_phase);
  return judge(context, marginDefinition, {
    column: "torque-margin",
    limit: { least: 0, words: `${nasa.clause}: FS_k ${nasa.known}, FS_v ${nasa.variable}` },
    matter: "motion",
    needs: ruleNeeds(context),
    absent: noSpeed,
    unit: "%",
    assumptions: [
      `Factors of ${nasa.phase}${phaseWords(context)}.`,
      pressureWords(context),
      ...worstWords(context.prediction.nominal.drive?.worstPoint),
    ],
    standing: standingOf(context, "nasa-std-5017a"),
  });
}

/** The point that decides, so that anybody can work the margin out again. */
function worstWords(worst: WorstPoint | undefined): readonly string[] {
  if (worst === undefined) return [];
  const { sense, angle_rad, speed_rad_s, available_Nm, demand_Nm } = worst;
  const place = `${sense} at ${quantityWords(angle_rad, "angle", "deg")} from closed`;
  const speed =
    speed_rad_s === 0
      ? "at the start of motion"
      : `at the speed wanted, ${quantityWords(speed_rad_s, "angular speed", "rad/s")} of the stem`;
  const gives =
    available_Nm > 0
      ? `the drive gives ${quantityWords(available_Nm, "torque", "N m")}`
      : "the drive has no torque there, because voltage and current limit leave nothing beyond its own friction and the voltage it generates (margin -100 %),";
  return [
    `Worst point of the nominal valve: ${place}, ${speed}; ${gives} against ${quantityWords(demand_Nm, "torque", "N m")} before factors.`,
  ];
}

const motorisationDefinition: CheckDefinition = {
  id: "motorisation",
  designChecks: ["motorisation"],
  failureModes: ["slow-open", "no-open"],
  name: "ECSS motorisation margin",
  dimension: "ratio",
  equation:
    "T_actuator / T_min - 1 >= 0, T_min = 2 (1.5 H_M + 3 F_R + 3 H_A + 3 H_D) with theoretical factors",
  source: "ecss-e-st-33-01c, clause 4.7.5.3 and table 4-2; factors from memory",
  assumptions: [
    "F_R is the friction of seats, packing and stem, H_D the declared ice, H_A flow that resists, H_M the motor's own friction at the stem.",
    "No spring, no harness and no deliverable torque; the inertia is left out, because the speed wanted is a steady one.",
  ],
};

function motorisation(context: Context): Check {
  const { duty } = context;
  const { ecss } = marginRules(duty.margin_phase);
  return judge(context, motorisationDefinition, {
    column: "motorisation-margin",
    limit: { least: 0, words: `${ecss.clause}, ${ecss.basis} factors` },
    matter: "motion",
    needs: ruleNeeds(context),
    absent: noSpeed,
    unit: "%",
    assumptions: [
      `${ecss.basis === "measured" ? "Measured" : "Theoretical"} factors${phaseWords(context)}.`,
      ...worstWords(context.prediction.nominal.drive?.worstMotorisation),
    ],
    standing: standingOf(context, "ecss-e-st-33-01c"),
  });
}

/** The picked rule is judged, the other shown; without a pick both wait for one. */
function standingOf({ duty }: Context, rule: NonNullable<Context["duty"]["margin_rule"]>): Check["standing"] {
  return duty.margin_rule === undefined || duty.margin_rule === rule ? "judged" : "information";
}

function phaseWords({ duty }: Context): string {
  return duty.margin_phase === undefined ? ", the hardest, because duty.margin_phase is not given" : "";
}

function sentence(context: Context): string {
  const { prediction } = context;
  const breakaway = nominalValue(context, "breakaway-torque");
  const { torque } = prediction.missing;
  if (breakaway === undefined) return missingWords(torque, faultsAmong(context, torque));
  const band = bandFor(context, "breakaway-torque");
  const needed =
    breakaway === 0
      ? "Nothing resists the start of the turning"
      : `Breaks away at ${valueWords(breakaway, band, "torque", "N m")}${inBand(band)}`;
  const standstill = nominalValue(context, "standstill-torque");
  if (standstill === undefined) return `${needed}; what the drive gives is not known.`;
  if (standstill <= 0)
    return `${needed}; at standstill the drive gives no torque at the stem, so it cannot be turned.`;
  const gives = bandFor(context, "standstill-torque");
  const offered = `${valueWords(standstill, gives, "torque", "N m")}${inBand(gives)}`;
  if (standstill < breakaway)
    return `Cannot be turned: ${lowerFirst(needed)}, and the drive gives only ${offered} at standstill.`;
  return `${needed}; the drive gives ${offered} at standstill${breakaway === 0 ? "" : marginWords(context)}.`;
}

function inBand(band: ReturnType<typeof bandFor>): string {
  return band === undefined ? "" : ` (${percentWords(band.coverage)} ${bandWords(band, "torque", "N m")})`;
}

function marginWords(context: Context): string {
  const { duty } = context;
  const rules = marginRules(duty.margin_phase);
  const picked =
    duty.margin_rule === "ecss-e-st-33-01c"
      ? ({
          column: "motorisation-margin",
          name: `ECSS-E-ST-33-01C, ${rules.ecss.basis} factors from memory`,
        } as const)
      : ({
          column: "torque-margin",
          name: `NASA-STD-5017A, ${rules.nasa.phase}, factors from memory`,
        } as const);
  const margin = duty.margin_rule === undefined ? undefined : nominalValue(context, picked.column);
  if (margin === undefined) return "";
  const band = bandFor(context, picked.column);
  const within =
    band === undefined ? "" : `${percentWords(band.coverage)} ${bandWords(band, "ratio", "%")}; `;
  return `; the margin by ${picked.name} is ${valueWords(margin, band, "ratio", "%")} (${within}limit 0 %)`;
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

/** Contributions below this share of the whole are what rounding leaves. */
const rounding = 1e-9;

/** What resists at the start of a stroke, contribution by contribution. */
function startTables({ prediction }: Context): readonly Table[] {
  const torque = prediction.nominal.torque;
  if (torque === undefined) return [];
  return [torque.opening, torque.closing].map(({ sense, start, startTotal_Nm }) => {
    // A hundredth of the whole is the last digit of every row, so that rows can be compared and summed.
    const step = Math.abs(startTotal_Nm) / 100;
    const say = (torque_Nm: number) =>
      valueWords(torque_Nm, { low: torque_Nm - step, high: torque_Nm + step }, "torque", "N m");
    return {
      title: `What resists at the start of ${sense}`,
      columns: ["contribution", "torque at the stem", "share"],
      rows: [
        ...start
          .filter(({ torque_Nm }) => Math.abs(torque_Nm) > rounding * Math.abs(startTotal_Nm))
          .map(({ name, torque_Nm }) => [
            name,
            say(torque_Nm),
            startTotal_Nm > 0 ? shareWords(torque_Nm / startTotal_Nm) : "",
          ]),
        ["all together", say(startTotal_Nm), ""],
      ],
    };
  });
}

/** A share of the whole in whole per cent. */
function shareWords(share: number): string {
  const percent = Math.round(100 * share);
  return percent === 0 && share > 0 ? "below 1 %" : `${percent} %`;
}
