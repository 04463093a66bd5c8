/** Whether pressure and voltage of a log are those that the case declares. */
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
