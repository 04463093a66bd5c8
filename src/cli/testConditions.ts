/** Whether pressure, voltage and current of a log can be those of the case and of its drive. */
import { conditionsOf, type Dossier } from "../dossier/index.js";
import { atRest, type ChannelLog, type RoleId, type StrokeMeasurement } from "../evidence/index.js";
import type { Notice } from "../fault/index.js";
import type { Declared } from "../quantity/index.js";

/** A reading may lie outside the declared band by this share of the bound: sensors and settings stray. */
const allowance = 0.1;
/** A normal law is held to this many standard deviations. */
const deviations = 2;
/** Ambient pressure where the valve file names none: the standard atmosphere, exact by definition [Pa]. */
const standardAtmosphere = 101_325;

/**
 * Holds the log, at rest before its command, against the conditions of the case.
 * Nothing is said of what the log or the case does not tell.
 */
export function conditionNotices(
  dossier: Dossier,
  caseId: string,
  log: ChannelLog,
  measurement: StrokeMeasurement | undefined,
): readonly Notice[] {
  const rest = (role: RoleId) => atRest(log, role, measurement?.events)?.level;
  return [
    ...pressureNotice(dossier, caseId, rest("pressure_upstream")),
    ...voltageNotice(dossier, caseId, rest("supply_voltage")),
    ...currentNotice(dossier, caseId, log),
  ];
}

function pressureNotice(dossier: Dossier, caseId: string, found: number | undefined): readonly Notice[] {
  const { fluid, supply_pressure: declared } = conditionsOf(dossier, caseId);
  const ambient = dossier.valve.duty?.ambient_pressure?.value ?? standardAtmosphere;
  const isDry = fluid === "none";
  const band = isDry ? { low: ambient, high: ambient } : bandOf(declared);
  if (found === undefined || band === undefined || isWithin(found, band)) return [];
  const wanted = isDry
    ? `without fluid (ambient ${bars(ambient)})`
    : `at a supply pressure of ${bandWords(band, bars)}`;
  return [
    {
      code: "test-pressure-differs",
      text: `before the command the log shows ${bars(found)} upstream of the valve, but case ${caseId} is ${wanted}: the wrong case is named, the column is not this pressure, or the case should be corrected`,
    },
  ];
}

function voltageNotice(dossier: Dossier, caseId: string, found: number | undefined): readonly Notice[] {
  const own = dossier.valve.cases?.find(({ id }) => id === caseId)?.open_circuit_voltage;
  const band = bandOf(own ?? dossier.valve.drive?.supply?.open_circuit_voltage);
  if (found === undefined || band === undefined || isWithin(found, band)) return [];
  return [
    {
      code: "test-voltage-differs",
      text: `before the command the log shows a supply of ${volts(found)}, but case ${caseId} declares ${bandWords(band, volts)} without load: the battery was another, the column is not this voltage, or open_circuit_voltage of the case should be corrected`,
    },
  ];
}

/**
 * A current that no motor of this drive can draw: far beyond the supply's voltage over the resistance of the
 * winding, I = U / R, with room for a winding that is as cold as the fluid.
 */
function currentNotice(dossier: Dossier, caseId: string, log: ChannelLog): readonly Notice[] {
  const { cases, drive } = dossier.valve;
  const own = cases?.find(({ id }) => id === caseId)?.open_circuit_voltage;
  const voltage = (own ?? drive?.supply?.open_circuit_voltage)?.value;
  const resistance = drive?.motor?.resistance?.value;
  const values = log.channels.find(({ role }) => role === "motor_current")?.values;
  if (voltage === undefined || resistance === undefined || values === undefined) return [];
  const sizes = values.filter((value) => !Number.isNaN(value)).map(Math.abs);
  const found = sizes.sort()[sizes.length - spikes] ?? 0;
  const most = voltage / resistance;
  if (!(found > coldest * most)) return [];
  return [
    {
      code: "test-current-impossible",
      text: `the current of the log goes to ${brief(found)} A, but ${volts(voltage)} over the ${brief(resistance)} ohm of the motor are ${brief(most)} A: the unit or the scale of its column is wrong, or the column is not the motor current; every torque from this current is wrong by as much`,
    },
  ];
}

/** Samples that may lie beyond for another reason. */
const spikes = 10;
/** Copper at the boiling point of nitrogen has about an eighth of its resistance at 20 degC; from memory. */
const coldest = 10;

interface Band {
  readonly low: number;
  readonly high: number;
}

function bandOf(declared: Declared | undefined): Band | undefined {
  if (declared === undefined) return undefined;
  const { law, value } = declared;
  if (law.kind === "exact") return { low: value, high: value };
  if (law.kind !== "normal") return { low: law.low, high: law.high };
  return { low: law.mean - deviations * law.deviation, high: law.mean + deviations * law.deviation };
}

function isWithin(value: number, { low, high }: Band): boolean {
  return value >= low - allowance * Math.abs(low) && value <= high + allowance * Math.abs(high);
}

const brief = (value: number): number => Number(value.toPrecision(3));
const bars = (pressure: number): string => `${brief(pressure / 1e5)} bar(a)`;
const volts = (voltage: number): string => `${brief(voltage)} V`;

function bandWords({ low, high }: Band, words: (value: number) => string): string {
  return words(low) === words(high) ? words(low) : `${words(low)} to ${words(high)}`;
}
