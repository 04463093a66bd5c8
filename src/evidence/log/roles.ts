/**
 * What a channel can be, and how its name and unit give it away. To add a role: one row in `roles`.
 * The words are those that loggers in several languages write; common practice, no source.
 */
import { type Dimension, dimensions, unitDimensions } from "../../quantity/index.js";

export const roleIds = [
  "command",
  "angle",
  "motor_current",
  "supply_voltage",
  "pressure_upstream",
  "pressure_downstream",
  "temperature_fluid",
  "temperature_motor",
  "flow",
  "torque",
  "strain",
  "other",
] as const;
/** What a channel is in the eyes of the program. `other` is kept, and used by nothing. */
export type RoleId = (typeof roleIds)[number];

interface Role {
  readonly id: RoleId;
  /** In a sentence: "the motor current". */
  readonly words: string;
  /** Dimensions its values can have; none for a role kept in the file's own unit. */
  readonly dimensions: readonly Dimension[];
  /** Names that mean it. Matched against the name in small letters, its words parted by blanks. */
  readonly names: RegExp;
  /** A second word that must also be there. */
  readonly also?: RegExp;
}

const pressureName = /^p(?!o)|\b(press(ure)?|\w*druck|pt|dp)\b/;
const temperatureName = /^t(?!o|i)|\b(temp(erature?|eratur)?|tc|therm\w*)\b/;

/** Every role, the more particular ahead of the more general. */
export const roles: readonly Role[] = [
  {
    id: "pressure_upstream",
    words: "the pressure upstream of the valve",
    dimensions: ["pressure"],
    names: pressureName,
    also: /\b(up|upstream|us|inlet|in|tank|supply|vor|ein|1|01)\b/,
  },
  {
    id: "pressure_downstream",
    words: "the pressure downstream of the valve",
    dimensions: ["pressure"],
    names: pressureName,
    also: /\b(down|dn|downstream|ds|outlet|out|chamber|back|nach|aus|2|02)\b/,
  },
  {
    id: "temperature_motor",
    words: "the temperature of the motor",
    dimensions: ["temperature"],
    names: temperatureName,
    also: /\b(motor|mot|winding|case|wicklung)\b/,
  },
  {
    id: "temperature_fluid",
    words: "the temperature of the fluid",
    dimensions: ["temperature"],
    names: temperatureName,
    also: /\b(fluid|liquid|medium|lox|ln2|lng|inlet|line|stream|fl)\b/,
  },
  {
    id: "command",
    words: "the command",
    dimensions: [],
    names:
      /\b(cmd|command|commanded|demand|set ?point|soll(wert)?|target|trigger|trig|\w*kommando|\w*befehl|enable|dout|digital out|valve open|open signal)\b/,
  },
  {
    id: "motor_current",
    words: "the motor current",
    dimensions: ["current"],
    names:
      /\b(current|(motor|anker|phasen)?strom(st(ä|ae)rke)?|courant|i mot(or)?|imot(or)?|shunt|amps?)\b|^i( m)?$/,
  },
  {
    id: "supply_voltage",
    words: "the supply voltage",
    dimensions: ["voltage"],
    names:
      /\b(voltage|\w*spannung|tension|supply|batt?(ery)?|v ?bat|u ?bat|v ?bus|vdc|v supply)\b|^[uv]( s)?$/,
  },
  {
    id: "angle",
    words: "the angle of the ball",
    dimensions: ["angle"],
    names:
      /\b(angle|\w*winkel|angular|pos(ition)?|stellung|opening|travel|stem|ball|encoder|resolver|pot(i|entiometer)?|theta|alpha|phi)\b/,
  },
  {
    id: "torque",
    words: "the torque",
    dimensions: ["torque"],
    names: /\b(torque|drehmoment|moment|couple|mz)\b/,
  },
  {
    id: "strain",
    words: "the strain",
    dimensions: ["ratio"],
    names: /\b(strain|dehnung|dms|strain gauge|sg)\b/,
  },
  {
    id: "flow",
    words: "the flow",
    dimensions: ["mass flow", "volume flow"],
    names: /\b(flow( ?rate)?|durchfluss|massenstrom|m ?dot|v ?dot|q|flowmeter|fm)\b/,
  },
  { id: "other", words: "another quantity", dimensions: [], names: /(?!)/ },
];

/** The record of a role. */
export function roleOf(id: RoleId): Role {
  return (
    roles.find((role) => role.id === id) ?? {
      id: "other",
      words: "another quantity",
      dimensions: [],
      names: /(?!)/,
    }
  );
}

/** Units that a sensor gives before its scale is applied. */
const rawUnits = ["V", "mV", "µV", "mA", "counts", "%", "V/V", "mV/V"];

/** True if a unit is that of a bare sensor signal for this role: a reading that needs a scale. */
export function needsScale(unit: string, role: RoleId): boolean {
  const accepted = roleOf(role).dimensions;
  if (accepted.length === 0 || unitDimensions(unit).some((dimension) => accepted.includes(dimension)))
    return false;
  if (takesPressure(unit) && accepted.includes("pressure")) return false;
  return rawUnits.includes(unit);
}

/** True for a pressure unit, with or without its mark. */
export function takesPressure(unit: string): boolean {
  const found = unitDimensions(unit);
  return found.includes("pressure") || found.includes("pressure difference");
}

/** A guess at what a column is, with the reason in words. */
export interface RoleGuess {
  readonly role: RoleId;
  readonly because: string;
  /** Larger is surer. */
  readonly weight: number;
}

/**
 * What a column probably is, from its name and its unit.
 *
 * @param name  without the unit;  @param unit  as the file states it, if it does
 */
export function guessRole(name: string, unit: string | undefined): RoleGuess {
  const words = plainName(name);
  for (const role of roles) {
    if (!role.names.test(words) || (role.also !== undefined && !role.also.test(words))) continue;
    if (unit === undefined)
      return { role: role.id, weight: 2, because: `the name "${name}" says ${role.words}` };
    if (fits(unit, role)) {
      return { role: role.id, weight: 3, because: `name "${name}" and unit ${unit} say ${role.words}` };
    }
    if (needsScale(unit, role.id)) {
      return {
        role: role.id,
        weight: 2,
        because: `the name "${name}" says ${role.words}; ${unit} is the signal of its sensor`,
      };
    }
  }
  return guessByUnit(name, unit);
}

function guessByUnit(name: string, unit: string | undefined): RoleGuess {
  const none = { role: "other" as const, weight: 0 };
  if (unit === undefined)
    return { ...none, because: `the name "${name}" says nothing known, and no unit is stated` };
  for (const id of ["angle", "motor_current", "torque", "flow"] as const) {
    const role = roleOf(id);
    if (unitDimensions(unit).some((dimension) => role.dimensions.includes(dimension))) {
      return { role: id, weight: 1, because: `the unit ${unit} is that of ${role.words}` };
    }
  }
  if (takesPressure(unit)) {
    return { ...none, because: `a pressure, but "${name}" does not say upstream or downstream` };
  }
  if (unitDimensions(unit).includes("temperature")) {
    return { ...none, because: `a temperature, but "${name}" does not say of the fluid or of the motor` };
  }
  return { ...none, because: `neither the name "${name}" nor the unit ${unit} says what it is` };
}

function fits(unit: string, role: Role): boolean {
  if (role.dimensions.length === 0) return true;
  if (role.dimensions.includes("pressure") && takesPressure(unit)) return true;
  return unitDimensions(unit).some((dimension) => role.dimensions.includes(dimension));
}

/** Small letters, words parted by single blanks, also where capitals or digits part them. */
export function plainName(name: string): string {
  return name
    .replaceAll(/([a-zäöü])([A-Z])/g, "$1 $2")
    .toLowerCase()
    .replaceAll(/[_\-./\\:#()[\]]+/g, " ")
    .replaceAll(/([a-z])(\d)/g, "$1 $2")
    .replaceAll(/\s+/g, " ")
    .trim();
}

/** Coherent SI unit of a dimension, as a label. */
export function siLabel(dimension: Dimension): string {
  return dimensions[dimension].si;
}
