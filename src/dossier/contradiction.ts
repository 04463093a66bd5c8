/**
 * Fields that contradict each other, each alone within its bounds. Which of two fields is wrong nobody
 * can tell, so both are not known until the file is mended.
 *
 * To add a rule: write a function from the values to its findings and add it to `rules`.
 */
import type { Fault, Notice, Place } from "../fault/index.js";
import type { Declared } from "../quantity/index.js";
import { caseRule } from "./caseRule.js";
import { cavityRule } from "./cavityRule.js";
import { coolDownRule } from "./coolDownRule.js";
import { correlationRule } from "./correlationRule.js";
import { engineRule } from "./engineRule.js";
import type { Finding, Rule } from "./finding.js";
import { heatRule } from "./heatRule.js";
import { lineRule } from "./lineRule.js";
import { fluidRule, materialRule, solidRule } from "./nameRule.js";
import { oxygenRule } from "./oxygenRule.js";
import type { FilledByParts } from "./part.js";
import { pathRule } from "./pathRule.js";
import { nominalText } from "./provenance.js";
import { scheduleRule } from "./scheduleRule.js";
import type { ValveFile } from "./schema.js";
import { seekRule } from "./seekRule.js";
import { tableRule } from "./tableRule.js";
import { wallRule } from "./wallRule.js";

const rules: readonly Rule[] = [
  ballRule,
  stemRule,
  tableRule,
  stageRule,
  closingRule,
  throttleRule,
  sizeRule,
  pressureRule,
  undervoltageRule,
  supersededRule,
  heatRule,
  materialRule,
  solidRule,
  coolDownRule,
  cavityRule,
  lineRule,
  seekRule,
  wallRule,
  pathRule,
  oxygenRule,
  engineRule,
  scheduleRule,
  fluidRule,
  caseRule,
  correlationRule,
];

/** What the rules found, in the order of the rules. */
export interface Contradictions {
  readonly faults: readonly Fault[];
  readonly notices: readonly Notice[];
  /** Paths of the fields that become not known. */
  readonly notKnown: readonly string[];
}

/**
 * Holds the fields of a valve file against each other.
 *
 * @param filled  values with those of parts; fields with a fault of their own are undefined and break no rule
 * @param places  place of each field in the file
 */
export function contradictionsOf(filled: FilledByParts, places: ReadonlyMap<string, Place>): Contradictions {
  const { valve, givenBy } = filled;
  const findings = [...filled.findings, ...rules.flatMap((rule) => rule(valve, places))];
  // A value that a part gave is shown at the line that names the part.
  const placeOf = (path: string): Place => ({
    ...(places.get(path) ?? places.get(givenBy.get(path) ?? "")),
    field: path,
  });
  const faults = findings.filter((finding) => finding.kind === "fault");
  const notKnown = new Set(
    findings.flatMap((finding) => (finding.kind === "notice" ? [] : finding.notKnown)),
  );
  return {
    faults: faults.map(({ code, path, found, allowed, mend, near }) => ({
      code,
      where: placeOf(path),
      found,
      allowed,
      mend,
      ...(near === undefined ? {} : { near }),
    })),
    notices: findings
      .filter((finding) => finding.kind === "notice")
      // What is said of a value does not hold for one that has become not known.
      .filter(({ path }) => !notKnown.has(path))
      .map(({ code, path, text }) => ({ code, field: path, text })),
    notKnown: [...notKnown],
  };
}

/** A fault where two given values are in the wrong order. */
function order(
  smaller: readonly [path: string, value: Declared | undefined],
  larger: readonly [path: string, value: Declared | undefined],
  code: string,
  words: {
    readonly found: (smaller: string, larger: string) => string;
    readonly allowed: string;
    readonly mend: string;
  },
  mayBeEqual: "may be equal" | "must differ",
): readonly Finding[] {
  const [smallPath, small] = smaller;
  const [largePath, large] = larger;
  if (small === undefined || large === undefined) return [];
  const holds = mayBeEqual === "may be equal" ? small.value <= large.value : small.value < large.value;
  if (holds) return [];
  const { found, ...rest } = words;
  return [
    {
      kind: "fault",
      code,
      path: smallPath,
      notKnown: [smallPath, largePath],
      found: found(nominalText(small), nominalText(large)),
      ...rest,
    },
  ];
}

function ballRule({ valve }: ValveFile): readonly Finding[] {
  const bore = ["valve.bore", valve?.bore] as const;
  const ball = ["valve.ball_diameter", valve?.ball_diameter] as const;
  const contact = ["valve.seat_contact_diameter", valve?.seat_contact_diameter] as const;
  const mend = "Compare both with the drawing";
  return [
    ...order(
      bore,
      ball,
      "ball-smaller-than-bore",
      {
        found: (small, large) => `a bore of ${small} does not fit into a ball of ${large}`,
        allowed: "The bore goes through the ball.",
        mend,
      },
      "must differ",
    ),
    ...order(
      contact,
      ball,
      "seat-larger-than-ball",
      {
        found: (small, large) => `a contact circle of ${small} does not lie on a ball of ${large}`,
        allowed: "The seat touches the ball on a circle smaller than the ball.",
        mend: `${mend}; the contact circle is smaller than the seat ring`,
      },
      "must differ",
    ),
    ...order(
      bore,
      contact,
      "seat-smaller-than-bore",
      {
        found: (small, large) => `a bore of ${small} is wider than the contact circle of ${large}`,
        allowed: "The contact circle lies around the mouth of the bore.",
        mend,
      },
      "must differ",
    ),
    ...order(
      contact,
      ["valve.seat.seal_diameter", valve?.seat?.seal_diameter],
      "seal-smaller-than-contact",
      {
        found: (small, large) => `a contact circle of ${small} is wider than the body seal of ${large}`,
        allowed:
          "The seat ring of a trunnion ball seals in the body outside its contact with the ball, so that pressure pushes it on.",
        mend: `${mend}; the seal diameter is that of the seat ring's seal in the body`,
      },
      "may be equal",
    ),
  ];
}

function stemRule({ valve }: ValveFile): readonly Finding[] {
  const stem = valve?.stem;
  return order(
    ["valve.stem.collar_inner_diameter", stem?.collar_inner_diameter],
    ["valve.stem.collar_outer_diameter", stem?.collar_outer_diameter],
    "collar-diameters-reversed",
    {
      found: (small, large) => `an inner diameter of ${small} is not below the outer diameter of ${large}`,
      allowed: "The thrust collar is a ring.",
      mend: "Exchange the two, or compare them with the drawing",
    },
    "must differ",
  );
}

function stageRule({ drive }: ValveFile): readonly Finding[] {
  return (drive?.stages ?? []).flatMap((stage, index) => [
    ...order(
      [`drive.stages[${index}].starting_efficiency`, stage.starting_efficiency],
      [`drive.stages[${index}].efficiency`, stage.efficiency],
      "starting-above-running",
      {
        found: (small, large) => `a starting efficiency of ${small} is above the running one of ${large}`,
        allowed: "From rest a stage passes on no more than in motion.",
        mend: "Exchange the two, or compare them with the data sheet",
      },
      "may be equal",
    ),
    ...order(
      [`drive.stages[${index}].rated_torque`, stage.rated_torque],
      [`drive.stages[${index}].momentary_torque`, stage.momentary_torque],
      "momentary-below-rated",
      {
        found: (small, large) => `a rated torque of ${small} is above the momentary torque of ${large}`,
        allowed:
          "The momentary torque is the larger one: a stage bears it for a moment, its rated torque for long.",
        mend: "Exchange the two, or compare them with the data sheet",
      },
      "may be equal",
    ),
    ...order(
      [`drive.stages[${index}].rated_torque`, stage.rated_torque],
      [`drive.stages[${index}].peak_torque`, stage.peak_torque],
      "momentary-below-rated",
      {
        found: (small, large) => `a rated torque of ${small} is above the peak torque of ${large}`,
        allowed:
          "The peak torque is the larger one: a stage bears it at each start and stop, its rated torque for long.",
        mend: "Exchange the two, or compare them with the data sheet",
      },
      "may be equal",
    ),
    ...order(
      [`drive.stages[${index}].peak_torque`, stage.peak_torque],
      [`drive.stages[${index}].momentary_torque`, stage.momentary_torque],
      "momentary-below-rated",
      {
        found: (small, large) => `a peak torque of ${small} is above the momentary torque of ${large}`,
        allowed:
          "The momentary torque is the larger one: a stage bears it a few times in its life, its peak torque at each stroke.",
        mend: "Exchange the two, or compare them with the data sheet",
      },
      "may be equal",
    ),
  ]);
}

function closingRule({ duty }: ValveFile): readonly Finding[] {
  return order(
    ["duty.close_within.no_faster_than", duty?.close_within?.no_faster_than],
    ["duty.close_within.time", duty?.close_within?.time],
    "closing-window-empty",
    {
      found: (small, large) => `no closing takes at least ${small} and at most ${large}`,
      allowed: "The shortest closing time that the line allows lies below the longest one allowed on abort.",
      mend: "Correct one of the two; if both are right, the line or the abort must change",
    },
    "must differ",
  );
}

function throttleRule({ duty }: ValveFile): readonly Finding[] {
  const lowest = duty?.throttle?.lowest;
  const step = duty?.throttle?.step;
  if (lowest === undefined || step === undefined || step.value <= 1 - lowest.value) return [];
  return [
    {
      kind: "fault",
      code: "throttle-step-too-large",
      path: "duty.throttle.step",
      notKnown: ["duty.throttle.step", "duty.throttle.lowest"],
      found: `a step of ${nominalText(step)} is larger than the range from ${nominalText(lowest)} to 100 %`,
      allowed: "The step is the smallest change of flow within the throttling range.",
      mend: "Correct the step or the lowest flow; both are shares of mass_flow",
    },
  ];
}

/** Bores of ball valves over their nominal size; reduced bores go down to 0.5. Common practice, no source [-]. */
const usualBore = { least: 0.5, most: 1.15 } as const;

function sizeRule({ valve }: ValveFile): readonly Finding[] {
  const { bore, nominal_size: size } = valve ?? {};
  if (bore === undefined || size === undefined) return [];
  const share = bore.value / size.value;
  if (share >= usualBore.least && share <= usualBore.most) return [];
  const side = share < usualBore.least ? "small" : "large";
  return [
    {
      kind: "notice",
      code: "bore-unlike-size",
      path: "valve.nominal_size",
      text: `a bore of ${nominalText(bore)} is ${side} for a nominal size of ${nominalText(size)}: full bores have about the nominal size, reduced ones at least half of it; flow follows from the bore, leak limits from the nominal size`,
    },
  ];
}

function pressureRule({ duty, cases }: ValveFile): readonly Finding[] {
  const all = [
    { path: "duty", conditions: duty },
    ...(cases ?? []).map((conditions, index) => ({ path: `cases[${index}]`, conditions })),
  ];
  return all.flatMap(({ path, conditions }): readonly Finding[] => {
    const supply = conditions?.supply_pressure;
    const back = conditions?.back_pressure;
    const shut = conditions?.back_pressure_at_start;
    const startPath = `${path}.back_pressure_at_start`;
    const falls: readonly Finding[] =
      shut === undefined || back === undefined || shut.value <= back.value
        ? []
        : [
            {
              kind: "fault",
              code: "start-pressure-above-back",
              path: startPath,
              notKnown: [startPath],
              found: `a back pressure of ${nominalText(shut)} while shut is above that of the steady flow, ${nominalText(back)}`,
              allowed: "The pressure at the end of the line rises as the flow sets in.",
              mend: "Exchange the two, or leave it out: then the back pressure holds for the whole stroke",
            },
          ];
    if (supply === undefined || back === undefined || back.value <= supply.value) return falls;
    return [
      ...falls,
      {
        kind: "notice",
        code: "back-pressure-above-supply",
        path: `${path}.back_pressure`,
        text: `the back pressure, ${nominalText(back)}, is above the supply pressure, ${nominalText(supply)}: the flow would run backwards`,
      },
    ];
  });
}

function undervoltageRule({ drive }: ValveFile): readonly Finding[] {
  const trip = drive?.driver?.undervoltage;
  const supply = drive?.supply?.open_circuit_voltage;
  if (trip === undefined || supply === undefined || trip.value < supply.value) return [];
  return [
    {
      kind: "notice",
      code: "undervoltage-above-supply",
      path: "drive.driver.undervoltage",
      text: `the driver trips at ${nominalText(trip)}, and the battery gives ${nominalText(supply)} without load: nothing would move`,
    },
  ];
}

/** Fields that have no effect because another one goes before them. */
function supersededRule({ valve }: ValveFile): readonly Finding[] {
  const packing = valve?.packing;
  const unused = (["friction", "height", "radial_stress"] as const).filter(
    (name) => packing?.[name] !== undefined,
  );
  const findings: Finding[] = [];
  if (packing?.torque !== undefined && unused.length > 0) {
    findings.push({
      kind: "notice",
      code: "field-superseded",
      path: "valve.packing.torque",
      text: `is used as it is, without ${unused.map((name) => `valve.packing.${name}`).join(", ")}`,
    });
  }
  if (valve?.characteristic !== undefined && valve.flow_coefficient !== undefined) {
    findings.push({
      kind: "notice",
      code: "field-superseded",
      path: "valve.characteristic",
      text: "is used as it is, without valve.flow_coefficient",
    });
  }
  if (valve?.support === "floating" && valve.bearing !== undefined) {
    findings.push({
      kind: "notice",
      code: "field-superseded",
      path: "valve.bearing",
      text: "has no effect: a floating ball has no trunnion bearings",
    });
  }
  return findings;
}
