/** What the clock, the vent and the relief of one closed volume rest on: its slots, and the fields nobody gave. */
import { conditionsOf, type Dossier, isFaulty, type ValveFile } from "../dossier/index.js";
import type { Declared, Pressure } from "../quantity/index.js";
import type { Gatherer, Slot } from "./gather.js";

type CavityFields = NonNullable<NonNullable<ValveFile["valve"]>["cavity"]>;
type SegmentFields = NonNullable<NonNullable<ValveFile["trapped"]>["segments"]>[number];

export const trappedFigures = ["time", "warm", "highest", "seats", "vent", "leak", "area"] as const;
export type TrappedFigure = (typeof trappedFigures)[number];

export type Given =
  | { readonly kind: "cavity"; readonly path: string; readonly name: string; readonly fields: CavityFields }
  | {
      readonly kind: "segment";
      readonly path: string;
      readonly name: string;
      readonly fields: SegmentFields;
    };

export type VolumeSlots = ReturnType<typeof gatherVolume>;

export function gatherVolume(
  gather: Gatherer<TrappedFigure>,
  dossier: Dossier,
  caseId: string,
  given: Given,
) {
  const conditions = conditionsOf(dossier, caseId);
  const at = placeOf(dossier, caseId);
  const { path, fields } = given;
  const isFull = fields.fill === undefined || fields.fill.value >= 1;
  // Left out, something else stands for these; entered with a fault, nothing does.
  const may = (
    place: string,
    declared: Declared | undefined,
    figures: readonly TrappedFigure[] = trappedFigures,
  ): Slot => {
    const slot = gather.take(place, declared);
    if (slot < 0) for (const figure of figures) gather.lackFaulty(figure, place);
    return slot;
  };
  const take = (end: string, declared: Declared | undefined): Slot => may(`${path}.${end}`, declared);
  const need = (matters: readonly TrappedFigure[], end: string, declared: Declared | undefined): Slot =>
    needAll(gather, matters, `${path}.${end}`, declared);
  const all: readonly TrappedFigure[] = trappedFigures;
  const shutBack = conditions.back_pressure_at_start;
  const behind: readonly TrappedFigure[] = ["seats", "vent", "leak"];
  const supply = needAll(
    gather,
    given.kind === "cavity" ? all : [],
    `${at}.supply_pressure`,
    conditions.supply_pressure,
  );
  const ownPressure = given.kind === "segment" ? take("pressure", given.fields.pressure) : -1;
  if (given.kind === "segment" && isFull && ownPressure < 0 && supply < 0)
    for (const figure of all) gather.lack(figure, `${path}.pressure`);
  const relief = given.kind === "segment" ? given.fields.relief : undefined;
  const seats = given.kind === "cavity" ? given.fields.self_relief : undefined;
  const vent = given.kind === "cavity" ? given.fields.vent : undefined;
  return {
    supply,
    back:
      shutBack === undefined && !isFaulty(dossier, `${at}.back_pressure_at_start`)
        ? may(`${at}.back_pressure`, conditions.back_pressure, behind)
        : may(`${at}.back_pressure_at_start`, shutBack, behind),
    closing: ownPressure >= 0 ? ownPressure : supply,
    temperature: needAll(gather, all, `${at}.fluid_temperature`, conditions.fluid_temperature),
    ambient: needAll(gather, all, "trapped.ambient_temperature", dossier.valve.trapped?.ambient_temperature),
    atmosphere: may("duty.ambient_pressure", dossier.valve.duty?.ambient_pressure),
    volume: need(["time", "warm", "highest"], "volume", fields.volume),
    fill: take("fill", fields.fill),
    rating: need(["time", "vent"], "rating", fields.rating),
    wallStiffness: take("wall_stiffness", fields.wall_stiffness),
    heat: need(["time", "vent", "area"], "heat_leak", fields.heat_leak),
    seatDifference: take("self_relief.difference", seats?.difference),
    ventDiameter: need(["leak"], "vent.diameter", vent?.diameter),
    ventDischarge: need(["vent", "leak"], "vent.discharge_coefficient", vent?.discharge_coefficient),
    setPressure: need(["area"], "relief.set_pressure", relief?.set_pressure),
    overpressure: need(["area"], "relief.overpressure", relief?.overpressure),
    behindRelief: need(["area"], "relief.back_pressure", relief?.back_pressure),
    reliefDischarge: need(["area"], "relief.discharge_coefficient", relief?.discharge_coefficient),
  };
}

function needAll(
  gather: Gatherer<TrappedFigure>,
  figures: readonly TrappedFigure[],
  path: string,
  declared: Declared | undefined,
): Slot {
  const slot = gather.take(path, declared);
  if (slot < 0) for (const figure of figures) gather.lack(figure, path);
  return slot;
}

export function placeOf({ valve: { cases = [] } }: Dossier, caseId: string): string {
  return caseId === "duty" ? "duty" : `cases[${cases.findIndex(({ id }) => id === caseId)}]`;
}

export function at(values: Float64Array, slot: Slot): number {
  return slot < 0 ? Number.NaN : (values[slot] ?? Number.NaN);
}

/** Set pressure with the overpressure, which counts from the atmosphere [Pa]. */
export function relievingPressure(slots: VolumeSlots, values: Float64Array): Pressure {
  const set = at(values, slots.setPressure);
  const atmosphere = slots.atmosphere < 0 ? 0 : at(values, slots.atmosphere);
  return (set + at(values, slots.overpressure) * (set - atmosphere)) as Pressure;
}

/** Pressure on the side to which the hole or the seats open; undefined where that is not known or none. */
function sidePressure(
  side: "upstream" | "downstream" | "none" | undefined,
  slots: VolumeSlots,
  values: Float64Array,
): Pressure | undefined {
  if (side === undefined || side === "none") return undefined;
  const value = at(values, side === "upstream" ? slots.supply : slots.back);
  return Number.isNaN(value) ? undefined : (value as Pressure);
}

export function ventSide(given: Given, slots: VolumeSlots, values: Float64Array): Pressure | undefined {
  return given.kind === "cavity" ? sidePressure(given.fields.vent?.side, slots, values) : undefined;
}

/** Pressure at which the seats let the cavity go; undefined where they do not or nobody said. */
export function seatPressure(given: Given, slots: VolumeSlots, values: Float64Array): number | undefined {
  if (given.kind !== "cavity" || slots.seatDifference < 0) return undefined;
  const side = sidePressure(given.fields.self_relief?.side, slots, values);
  return side === undefined ? undefined : side + at(values, slots.seatDifference);
}
