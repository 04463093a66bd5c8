/** What all samples of a cool-down share: properties over the temperatures and pressures that they reach. */
import { referenceTemperatures } from "../dossier/index.js";
import type { Notice } from "../fault/index.js";
import { type Coolant, coolantAt, coolantBetween, SolidHeat } from "../physics/cold/index.js";
import { type Declared, lawInterval, type Pressure, type Temperature } from "../quantity/index.js";
import {
  contraction,
  type Fluid,
  liquidAtPressureTemperature,
  type Solid,
  solidProperty,
} from "../substance/index.js";
import type { CoolDownPlan } from "./coolDownPlan.js";
import { EvenTable } from "./evenTable.js";
import type { Slot } from "./gather.js";

/** Data of solids that the nominal run goes beyond, between its coldest and its warmest temperature. */
export function noticesOf(
  { parts, fits, seats }: CoolDownPlan,
  coldest: number,
  warmest: number,
): readonly Notice[] {
  const ends = [coldest as Temperature, warmest as Temperature];
  const shrinking = [seats.body, seats.ball, seats.seat, ...fits.flatMap(({ hole, shaft }) => [hole, shaft])];
  const from = referenceTemperatures.ambient_K as Temperature;
  const all = ends.flatMap((T) => [
    ...parts.flatMap(({ material }) =>
      material === undefined ? [] : solidProperty(material, "specific_heat", T).notices,
    ),
    ...shrinking.flatMap(({ material }) =>
      material === undefined ? [] : contraction(material, from, T).notices,
    ),
  ]);
  return all.filter(({ text }, i) => all.findIndex((other) => other.text === text) === i);
}

/** What all samples share: properties over the temperatures and pressures that they reach. */
export interface CoolDownTables {
  /** Pressures with their coolants, rising; one where the pressure is certain. */
  readonly coolants: readonly { readonly logPressure: number; readonly coolant: Coolant }[];
  readonly heats: readonly (SolidHeat | undefined)[];
  readonly contractions: ReadonlyMap<string, EvenTable>;
  /** Enthalpy of the liquid at the nominal temperature, and its slope [J/kg, J/(kg K)]. */
  readonly admitted: { readonly T: number; readonly h: number; readonly cp: number };
}

/** A normal law has no end: this many deviations are laid out for. */
const reach = 3;
/** Step of the tables of contraction [K], 0.05 um in a length of 50 mm, and how far they reach below saturation. */
const contractionStep = 10;
const below = 5;

function ends({ law, value }: Declared): readonly [number, number] {
  if (law.kind === "normal") return [law.mean - reach * law.deviation, law.mean + reach * law.deviation];
  const { low, high } = lawInterval(law, value);
  return [low, high];
}

export function tablesOf(
  { slots, parts, fits, seats, inspected }: CoolDownPlan,
  named: Fluid,
  nominal: Float64Array,
  declared: readonly Declared[],
): CoolDownTables {
  const at = (slot: Slot) => nominal[slot] ?? Number.NaN;
  const endsOf = (slot: Slot): readonly [number, number] => {
    const own = declared[slot];
    return own === undefined ? [Number.NaN, Number.NaN] : ends(own);
  };
  const warmest = Math.max(endsOf(slots.start)[1], endsOf(slots.surroundings)[1]) as Temperature;
  const [low, high] = endsOf(slots.pressure);
  const pressures = [...new Set([low, at(slots.pressure), high])].filter((p) => p > 0).sort((a, b) => a - b);
  const coolants = pressures.map((p) => ({
    logPressure: Math.log(p),
    coolant: coolantAt(named, p as Pressure, warmest),
  }));
  const T = at(slots.fluid) as Temperature;
  const liquid = liquidAtPressureTemperature(named, at(slots.supply) as Pressure, T);
  const coldest = Math.min(coolants[0]?.coolant.saturation ?? T, endsOf(slots.fluid)[0]) - below;
  // One table for each material; a declared mean specific heat scales one that is everywhere 1.
  const materials = [...new Set(parts.map(({ material }) => material?.id))];
  const heatTables = materials.map((id) => {
    const material = parts.find((part) => part.material?.id === id)?.material;
    return material === undefined
      ? new SolidHeat(() => 1, coldest as Temperature, warmest)
      : heatOf(material, coldest as Temperature, warmest);
  });
  const heats = parts.map(({ material }) => heatTables[materials.indexOf(material?.id)]);
  const inspectedAt = inspected < 0 ? referenceTemperatures.ambient_K : endsOf(inspected)[1];
  const shrinking = [seats.body, seats.ball, seats.seat, ...fits.flatMap(({ hole, shaft }) => [hole, shaft])];
  const contractions = new Map<string, EvenTable>();
  for (const { material } of shrinking)
    if (material !== undefined && !contractions.has(material.id))
      contractions.set(material.id, contractionTable(material, coldest, Math.max(warmest, inspectedAt)));
  return {
    coolants,
    heats,
    contractions,
    admitted: { T, h: liquid.h, cp: liquid.cp },
  };
}

function heatOf(material: Solid, low: Temperature, high: Temperature): SolidHeat {
  return new SolidHeat((T) => solidProperty(material, "specific_heat", T).value, low, high);
}

/** Contraction from 293 K against temperature. */
function contractionTable(material: Solid, low: number, high: number): EvenTable {
  const steps = Math.ceil((high - low) / contractionStep);
  const from = referenceTemperatures.ambient_K as Temperature;
  const values = Array.from({ length: steps + 1 }, (_, i) =>
    contraction(material, from, (low + ((high - low) * i) / steps) as Temperature),
  );
  return new EvenTable(
    low,
    high,
    Float64Array.from(values, ({ value }) => value),
  );
}

export function coolantOf({ coolants }: CoolDownTables, p: number): Coolant {
  const [first] = coolants;
  if (first === undefined) throw new Error("a cool-down without a pressure");
  const logPressure = Math.log(p);
  const after = coolants.findIndex((one, i) => i > 0 && one.logPressure >= logPressure);
  const upper = coolants[after < 0 ? coolants.length - 1 : after] ?? first;
  const lower = coolants[(after < 0 ? coolants.length - 1 : after) - 1] ?? first;
  const width = upper.logPressure - lower.logPressure;
  return width > 0
    ? coolantBetween(lower.coolant, upper.coolant, (logPressure - lower.logPressure) / width)
    : upper.coolant;
}
