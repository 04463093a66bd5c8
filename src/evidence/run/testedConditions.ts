/**
 * The conditions of a test as they were measured: in the log at rest before the command, or as run.yaml
 * states them. A prediction is held against the test at these; what nobody measured stays as declared.
 *
 * A pressure upstream tells the supply only while the valve is shut, so of a closing it is not taken.
 * Where the uncertainty of a reading is not known, the declared spread is kept around it.
 */
import { conditionsOf, type Dossier, valueAt, withValues } from "../../dossier/index.js";
import { refuse } from "../../fault/index.js";
import {
  type Declared,
  type Dimension,
  formatQuantity,
  formatUncertain,
  type Law,
  type Pressure,
  parseDeclared,
} from "../../quantity/index.js";
import type { DetectedEvent } from "../event/index.js";
import type { RoleId } from "../log/roles.js";
import { type AtRest, atRest } from "./atRest.js";
import type { ChannelLog } from "./channels.js";

/** What can be measured of the conditions of a test, and the dimension of each. */
const conditionDimensions = {
  supply_pressure: "pressure",
  back_pressure: "pressure",
  back_pressure_at_start: "pressure",
  fluid_temperature: "temperature",
  valve_temperature: "temperature",
  motor_temperature: "temperature",
  gearbox_temperature: "temperature",
  dwell: "time",
  open_circuit_voltage: "voltage",
} as const satisfies Readonly<Record<string, Dimension>>;

type ConditionName = keyof typeof conditionDimensions;

/** One condition as tested. Numbers in SI of the dimension. */
export interface TestedCondition {
  /** Field of the valve file that it stands for. */
  readonly path: string;
  readonly dimension: Dimension;
  /** As the valve file has it. */
  readonly declared: number;
  readonly declaredText: string;
  readonly tested: number;
  readonly testedText: string;
  /** Whether its uncertainty was not known, so that the declared spread was kept. */
  readonly keepsSpread: boolean;
  /** Channel of the log, or run.yaml. */
  readonly from: string;
}

/** Conditions as tested, and the dossier that has them in place of the declared ones. */
export interface TestedDossier {
  readonly dossier: Dossier;
  readonly conditions: readonly TestedCondition[];
}

export interface TestedLog {
  readonly log: ChannelLog;
  readonly events: readonly DetectedEvent[];
  readonly sense: "opening" | "closing";
  /** Conditions that run.yaml states, text by field path; they go before the log. */
  readonly stated: Readonly<Record<string, string>>;
}

/**
 * Puts the conditions of a test in place of the declared ones.
 * @param dossier with its defaults applied;  @param caseId the case that was tested
 * Refuses a stated condition that is none of this case, or that cannot be read.
 */
export function atTestedConditions(dossier: Dossier, caseId: string, test: TestedLog): TestedDossier {
  const found = new Map<ConditionName, { readonly value: Declared; readonly from: string }>();
  for (const [name, from, rest] of loggedConditions(dossier, caseId, test)) {
    const known = valueAt(dossier, pathOf(dossier, caseId, name));
    if (known !== undefined) found.set(name, { value: measuredValue(known, rest), from });
  }
  for (const [field, text] of Object.entries(test.stated)) {
    const name = conditionName(dossier, caseId, field);
    const ambient = dossier.valve.duty?.ambient_pressure?.value as Pressure | undefined;
    const options = ambient === undefined ? {} : { ambientPressure: ambient };
    found.set(name, { value: parseDeclared(text, conditionDimensions[name], {}, options), from: "run.yaml" });
  }
  const changes = new Map<string, Declared>();
  const conditions: TestedCondition[] = [];
  for (const [name, { value, from }] of found) {
    const path = pathOf(dossier, caseId, name);
    const known = valueAt(dossier, path);
    // What the case does not have, its model does not read: a pressure of a dry valve.
    if (known === undefined) continue;
    const keepsSpread = value.law.kind === "exact";
    const tested: Declared = keepsSpread ? { ...value, law: movedLaw(known, value.value) } : value;
    changes.set(path, { ...tested, origin: "measured", because: `as tested, from ${from}` });
    conditions.push({
      path,
      dimension: known.dimension,
      declared: known.value,
      declaredText: known.text,
      tested: value.value,
      testedText: value.text,
      keepsSpread,
      from,
    });
  }
  return { dossier: changes.size === 0 ? dossier : withValues(dossier, changes), conditions };
}

/** A supply that reads less than this share of its highest at rest is switched on with the command. */
const leastShareAtRest = 0.5;

/** What the log shows at rest, by the condition that it is. */
function loggedConditions(
  dossier: Dossier,
  caseId: string,
  { log, events, sense }: TestedLog,
): readonly (readonly [ConditionName, string, AtRest])[] {
  const { outlet, back_pressure_at_start: atStart } = conditionsOf(dossier, caseId);
  const isShut = sense === "opening";
  const downstream: ConditionName | undefined =
    atStart !== undefined ? "back_pressure_at_start" : outlet === "dead-ended" ? "back_pressure" : undefined;
  const read = (role: RoleId, name: ConditionName | undefined, isTold = true) => {
    const rest = name === undefined || !isTold ? undefined : atRest(log, role, events);
    if (name === undefined || rest === undefined || !(rest.level > 0)) return [];
    if (role === "supply_voltage" && rest.level < leastShareAtRest * rest.highest) return [];
    return [[name, `the log at rest (${role})`, rest] as const];
  };
  return [
    ...read("supply_voltage", "open_circuit_voltage"),
    ...read("pressure_upstream", "supply_pressure", isShut),
    ...read("pressure_downstream", downstream, isShut),
    ...read("temperature_fluid", "fluid_temperature"),
    ...read("temperature_motor", "motor_temperature"),
  ];
}

function measuredValue(known: Declared, { level, standardUncertainty: u }: AtRest): Declared {
  const { dimension, unit } = known;
  const style = unit === "" ? {} : { unit };
  const text =
    u === undefined || !(u > 0)
      ? formatQuantity(level, dimension, { ...style, digits: shownDigits })
      : formatUncertain(level, u, dimension, style);
  const law: Law =
    u === undefined || !(u > 0)
      ? { kind: "exact" }
      : { kind: "normal", mean: level, deviation: u, low: 0, high: Number.POSITIVE_INFINITY };
  return { ...known, value: level, law, text, readAs: text };
}

/** Digits of a reading whose uncertainty is not known. */
const shownDigits = 4;

/** The declared spread around another value. */
function movedLaw({ law, value }: Declared, to: number): Law {
  const by = to - value;
  switch (law.kind) {
    case "exact":
      return law;
    case "normal":
      return { ...law, mean: law.mean + by };
    case "uniform":
      return { ...law, low: law.low + by, high: law.high + by };
    case "triangular":
      return { ...law, low: law.low + by, mode: law.mode + by, high: law.high + by };
  }
}

/** Where the valve file has a condition of a case. */
function pathOf(dossier: Dossier, caseId: string, name: ConditionName): string {
  const at = sectionOf(dossier, caseId);
  const own = `${at}.${name}`;
  if (name !== "open_circuit_voltage") return own;
  return at !== "duty" && valueAt(dossier, own) !== undefined ? own : "drive.supply.open_circuit_voltage";
}

function sectionOf(dossier: Dossier, caseId: string): string {
  return caseId === "duty"
    ? "duty"
    : `cases[${(dossier.valve.cases ?? []).findIndex(({ id }) => id === caseId)}]`;
}

/** The condition that a path in run.yaml means. Refuses one that is none, or of another case. */
function conditionName(dossier: Dossier, caseId: string, field: string): ConditionName {
  const at = sectionOf(dossier, caseId);
  const name = conditionNames.find(
    (one) => field === one || field === `${at}.${one}` || field === pathOf(dossier, caseId, one),
  );
  if (name !== undefined) return name;
  return refuse(
    "run-field",
    `conditions.${field} is no condition of the case ${caseId}`,
    `Conditions of a test are ${conditionNames.join(", ")}, alone or behind "${at}.".`,
    "Correct the name in run.yaml",
  );
}

const conditionNames: readonly ConditionName[] = [
  "supply_pressure",
  "back_pressure",
  "back_pressure_at_start",
  "fluid_temperature",
  "valve_temperature",
  "motor_temperature",
  "gearbox_temperature",
  "dwell",
  "open_circuit_voltage",
];
