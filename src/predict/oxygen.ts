/**
 * What one valve does to an oxidiser, with a small band of its own: the fastest jets of gas and of liquid
 * that flashes, the temperature of gas that is shut in and compressed, and the pressure of each contact
 * that rubs (docs/theory/oxygen.md). All of it is of the hardest of duty and cases with an oxidiser,
 * whichever case is asked for: a part that meets oxygen in one of them is a part in oxygen.
 */
import { type Conditions, conditionsOf, type Dossier, isFaulty, oxygenLimits } from "../dossier/index.js";
import { ringContactStress } from "../physics/cold/index.js";
import { collarPressure, compressionTemperature, fastestJet } from "../physics/oxygen/index.js";
import { floatingSeatLoads } from "../physics/seat/index.js";
import type {
  Declared,
  Force,
  Length,
  Pressure,
  PressureDifference,
  Temperature,
} from "../quantity/index.js";
import {
  type Fluid,
  fluid,
  inletLiquid,
  inletNames,
  isFluidName,
  saturationAtPressure,
  stateAtPressureTemperature,
  vapourPressure,
} from "../substance/index.js";
import { ChainGatherer, type ColdChain, chainOf } from "./coldChain.js";
import type { Slot } from "./gather.js";
import type { Sampling } from "./ownBand.js";
import { placeOf } from "./trappedPlan.js";

/** Where an oxidiser comes in. */
export type OxygenService =
  | { readonly kind: "none"; readonly fluids: readonly string[] }
  | { readonly kind: "unknown"; readonly missing: readonly string[] }
  | {
      readonly kind: "oxidiser";
      /** `duty` or the id of the case with the largest drop at the start: its jets are the fastest. */
      readonly caseId: string;
      /** Whether the case that was asked for has an oxidiser: the strokes of another one tell nothing of it. */
      readonly isAsked: boolean;
      readonly name: string;
      /** Whether limits and standings are on file for this oxidiser. */
      readonly isOnFile: boolean;
    };

/** A contact that rubs, at the nominal values: pressure [Pa] and radius about the stem [m]. */
export interface OxygenContact {
  readonly missing: readonly string[];
  readonly pressure_Pa: number;
  readonly radius_m: number;
}

/**
 * Figures of the jets: `pressure`, the highest supply pressure with an oxidiser, and its `gauge` [Pa]; `boiling`
 * pressure of the liquid, the highest at which it flashes, and its `boilingGauge` [Pa]; `overBoiling`, by
 * how much the pressure behind the valve lies above it: liquid stays liquid where it does [Pa]; `flash`,
 * the jet of the liquid, and `gas`, that of gas that stands before the ball [m/s]; `sound` in that gas [m/s].
 * Of the compression: `compressed` [K], `final` pressure [Pa].
 */
export interface OxygenAnswer {
  readonly service: OxygenService;
  readonly jets: ColdChain;
  /** Share of the jet of the liquid that is gas, at the nominal values [-]. */
  readonly flashedShare: number | undefined;
  readonly compression: ColdChain;
  /** By the place of the part in `oxygen.parts`. */
  readonly contacts: readonly OxygenContact[];
}

/** Follows the oxidiser of a valve. Refuses an unknown case. */
export function oxygenOf(dossier: Dossier, caseId: string, options: Sampling): OxygenAnswer {
  const service = serviceOf(dossier, caseId);
  const frame = frameOf(dossier, service);
  const jets = jetChain(frame, options);
  return {
    service,
    ...jets,
    compression: compressionChain(frame, options),
    contacts: (dossier.valve.oxygen?.parts ?? []).map((_, j) => contactOf(frame, j)),
  };
}

interface Place {
  readonly id: string;
  readonly at: string;
  readonly conditions: Conditions;
}

interface Frame {
  readonly dossier: Dossier;
  readonly fluid: Fluid | undefined;
  readonly at: string;
  readonly conditions: Conditions;
  /** Every set of conditions with an oxidiser. */
  readonly all: readonly Place[];
}

function placesOf(dossier: Dossier): readonly Place[] {
  const ids = ["duty", ...(dossier.valve.cases ?? []).flatMap(({ id }) => (id === undefined ? [] : [id]))];
  return ids.map((id) => ({ id, at: placeOf(dossier, id), conditions: conditionsOf(dossier, id) }));
}

/** Dry counts as inert; undefined where the fluid is not given or not on file. */
function reactionOf(name: string | undefined): "oxidiser" | "fuel" | "inert" | undefined {
  if (name === "none") return "inert";
  return name !== undefined && inletNames.includes(name) ? inletLiquid(name).reaction : undefined;
}

function serviceOf(dossier: Dossier, asked: string): OxygenService {
  conditionsOf(dossier, asked);
  const places = placesOf(dossier);
  const carrying = places.filter(({ conditions }) => reactionOf(conditions.fluid) === "oxidiser");
  const hardest = carrying.toSorted((a, b) => startDrop(dossier, b) - startDrop(dossier, a))[0];
  if (hardest === undefined) {
    const open = places.filter(({ conditions }) => reactionOf(conditions.fluid) === undefined);
    if (open.length > 0) return { kind: "unknown", missing: open.map(({ at }) => `${at}.fluid`) };
    const names = places.flatMap(({ conditions }) => conditions.fluid ?? []);
    return { kind: "none", fluids: [...new Set(names)].filter((name) => name !== "none") };
  }
  const name = hardest.conditions.fluid ?? "";
  return {
    kind: "oxidiser",
    caseId: hardest.id,
    isAsked: carrying.some(({ id }) => id === asked),
    name,
    isOnFile: isFluidName(name) && fluid(name).id === oxygenLimits.oxidiser,
  };
}

/** Drop across the valve as it begins to open; a place where it is not known comes first [Pa]. */
function startDrop(dossier: Dossier, { at, conditions }: Place): number {
  if (isFaulty(dossier, `${at}.back_pressure_at_start`)) return Number.MAX_VALUE;
  const behind = conditions.back_pressure_at_start ?? conditions.back_pressure;
  if (conditions.supply_pressure === undefined || behind === undefined) return Number.MAX_VALUE;
  return conditions.supply_pressure.value - behind.value;
}

function frameOf(dossier: Dossier, service: OxygenService): Frame {
  const all = placesOf(dossier).filter(({ conditions }) => reactionOf(conditions.fluid) === "oxidiser");
  const id = service.kind === "oxidiser" ? service.caseId : "duty";
  const name = service.kind === "oxidiser" ? service.name : undefined;
  return {
    dossier,
    fluid: name !== undefined && isFluidName(name) ? fluid(name) : undefined,
    at: placeOf(dossier, id),
    conditions: conditionsOf(dossier, id),
    all,
  };
}

/** The highest supply pressure of duty and cases with an oxidiser. */
function highestSupply({
  all,
  at,
  conditions,
}: Frame): readonly [path: string, declared: Declared | undefined] {
  const open = all.find((place) => place.conditions.supply_pressure === undefined);
  if (open !== undefined) return [`${open.at}.supply_pressure`, undefined];
  const given = all.flatMap((place) =>
    place.conditions.supply_pressure === undefined
      ? []
      : [{ path: `${place.at}.supply_pressure`, declared: place.conditions.supply_pressure }],
  );
  const highest = given.toSorted((a, b) => b.declared.value - a.declared.value)[0];
  return highest === undefined
    ? [`${at}.supply_pressure`, conditions.supply_pressure]
    : [highest.path, highest.declared];
}

const jetFigures = [
  "pressure",
  "gauge",
  "boiling",
  "boilingGauge",
  "overBoiling",
  "flash",
  "gas",
  "sound",
] as const;

function jetChain(
  frame: Frame,
  options: Sampling,
): { readonly jets: ColdChain; readonly flashedShare: number | undefined } {
  const { dossier, at, conditions, fluid: named } = frame;
  const collected = new ChainGatherer(jetFigures, dossier);
  const jets = ["flash", "gas", "overBoiling"];
  const start = conditions.back_pressure_at_start;
  const slots = {
    highest: collected.need(...highestSupply(frame), ["pressure", "gauge"]),
    ambient: collected.need("duty.ambient_pressure", dossier.valve.duty?.ambient_pressure, [
      "gauge",
      "boilingGauge",
    ]),
    supply: collected.need(`${at}.supply_pressure`, conditions.supply_pressure, ["flash", "gas", "sound"]),
    behind:
      start === undefined
        ? collected.need(`${at}.back_pressure`, conditions.back_pressure, jets)
        : collected.need(`${at}.back_pressure_at_start`, start, jets),
    liquid: collected.need(`${at}.fluid_temperature`, conditions.fluid_temperature, [
      "flash",
      "boiling",
      "boilingGauge",
      "overBoiling",
    ]),
    gas: collected.need("oxygen.start_gas.temperature", dossier.valve.oxygen?.start_gas?.temperature, [
      "gas",
      "sound",
    ]),
  };
  for (const figure of jets) collected.gather.lackFaulty(figure, `${at}.back_pressure_at_start`);
  if (named === undefined)
    collected.lack(`${at}.fluid: one with an equation of state`, [
      ...jets,
      "sound",
      "boiling",
      "boilingGauge",
    ]);
  const lacks = (figure: string) => named === undefined || collected.gather.missingFor(figure).length > 0;
  const forms = new PowerForms(collected.gather.space([], []).nominal);
  const flashOf = ([p = 0, T = 0, behind = 0]: readonly number[]) =>
    named === undefined || behind >= p
      ? undefined
      : fastestJet(
          named,
          stateAtPressureTemperature(named, p as Pressure, T as Temperature),
          behind as Pressure,
        );
  let flashedShare: number | undefined;
  const flash = (x: readonly number[]) => {
    const jet = flashOf(x);
    // The first of the calls is that at the nominal values.
    flashedShare ??= jet?.gas ?? 0;
    return jet?.speed ?? 0;
  };
  const gas = ([p = 0, T = 0, behind = 0]: readonly number[]) =>
    named === undefined || behind >= p
      ? 0
      : fastestJet(named, gasAt(named, p as Pressure, T as Temperature), behind as Pressure).speed;
  const sound = ([p = 0, T = 0]: readonly number[]) =>
    named === undefined ? Number.NaN : gasAt(named, p as Pressure, T as Temperature).w;
  const boiling = ([T = 0]: readonly number[]) =>
    named === undefined ? Number.NaN : vapourPressure(named, T as Temperature);
  const { supply, behind } = slots;
  const chain = chainOf(collected, { path: "oxygen", name: "jets" }, jetFigures, options, (value) => {
    const form = (id: string, exact: (x: readonly number[]) => number, of: readonly Slot[]) =>
      lacks(id) ? Number.NaN : forms.value(id, exact, of, value);
    const highest = value(slots.highest);
    const boils = form("boiling", boiling, [slots.liquid]);
    return {
      pressure: highest,
      gauge: highest - value(slots.ambient),
      boiling: boils,
      boilingGauge: boils - value(slots.ambient),
      overBoiling: value(behind) - boils,
      flash: form("flash", flash, [supply, slots.liquid, behind]),
      gas: form("gas", gas, [supply, slots.gas, behind]),
      sound: form("sound", sound, [supply, slots.gas]),
    };
  });
  return { jets: chain, flashedShare };
}

/** Gas at a pressure; where it would be liquid at this temperature, its vapour at the boiling point. */
function gasAt(named: Fluid, p: Pressure, T: Temperature) {
  const state = stateAtPressureTemperature(named, p, T);
  return state.phase === "liquid" ? saturationAtPressure(named, p).vapour : state;
}

const compressionFigures = ["compressed", "final"] as const;

function compressionChain(frame: Frame, options: Sampling): ColdChain {
  const { dossier, at, fluid: named } = frame;
  const given = dossier.valve.oxygen?.compression;
  const collected = new ChainGatherer(compressionFigures, dossier);
  const path = "oxygen.compression";
  const compressed = ["compressed"];
  const slots = {
    p1: collected.need(`${path}.initial_pressure`, given?.initial_pressure, compressed),
    T1: collected.need(`${path}.initial_temperature`, given?.initial_temperature, compressed),
    p2:
      given?.final_pressure === undefined
        ? collected.need(...highestSupply(frame))
        : collected.need(`${path}.final_pressure`, given.final_pressure),
  };
  collected.may(`${path}.final_pressure`, given?.final_pressure);
  if (named === undefined) collected.lack(`${at}.fluid: one with an equation of state`, compressed);
  const isOpen = named === undefined || collected.gather.missingFor("compressed").length > 0;
  const forms = new PowerForms(collected.gather.space([], []).nominal);
  const temperature = ([p1 = 0, T1 = 0, p2 = 0]: readonly number[]) =>
    named === undefined || p2 <= p1
      ? T1
      : compressionTemperature(named, p1 as Pressure, T1 as Temperature, p2 as Pressure);
  return chainOf(collected, { path, name: "compressed gas" }, compressionFigures, options, (value) => ({
    compressed: isOpen
      ? Number.NaN
      : forms.value("compressed", temperature, [slots.p1, slots.T1, slots.p2], value),
    final: value(slots.p2),
  }));
}

/** A function of positive numbers near one point: its value there and the power of each argument. */
interface PowerForm {
  readonly at: readonly number[];
  readonly value: number;
  readonly powers: readonly number[];
}

/** Step by which the powers are found [-]. */
const step = 0.01;

/** Samples follow from the nominal point by powers: each state anew would cost milliseconds and move no digit. */
class PowerForms {
  private readonly known = new Map<string, PowerForm>();

  constructor(private readonly nominal: Float64Array) {}

  /** A figure of a sample. @param exact of the arguments in the order of their slots */
  value(
    id: string,
    exact: (x: readonly number[]) => number,
    slots: readonly Slot[],
    sample: (slot: Slot) => number,
  ): number {
    const form =
      this.known.get(id) ??
      powerForm(
        exact,
        slots.map((slot) => this.nominal[slot] ?? Number.NaN),
      );
    this.known.set(id, form);
    const { at, value, powers } = form;
    return slots.reduce((product, slot, j) => {
      const power = powers[j] ?? 0;
      return power === 0 ? product : product * (sample(slot) / (at[j] ?? Number.NaN)) ** power;
    }, value);
  }
}

function powerForm(f: (x: readonly number[]) => number, x: readonly number[]): PowerForm {
  const value = f(x);
  const powers = x.map((_, j) => {
    const moved = f(x.map((one, k) => (k === j ? one * (1 + step) : one)));
    const power = Math.log(moved / value) / Math.log1p(step);
    return Number.isFinite(power) ? power : 0;
  });
  return { at: x, value, powers };
}

/** Pressure and radius of the contact of one part. */
function contactOf({ dossier, at, conditions, all, ...rest }: Frame, j: number): OxygenContact {
  const { valve, oxygen } = dossier.valve;
  const part = oxygen?.parts?.[j] ?? {};
  const path = `oxygen.parts[${j}]`;
  const missing: string[] = [];
  const need = (name: string, declared: Declared | undefined) => {
    if (declared === undefined) missing.push(name);
    return declared?.value ?? Number.NaN;
  };
  const supply = () => need(...highestSupply({ dossier, at, conditions, all, ...rest }));
  const ambient = () => need("duty.ambient_pressure", dossier.valve.duty?.ambient_pressure);
  const declaredPressure = part.contact_pressure?.value;
  for (const own of ["contact_pressure", "rubbing_radius"])
    if (isFaulty(dossier, `${path}.${own}`)) missing.push(`${path}.${own}`);
  const of = (pressure: () => number, radius: () => number): OxygenContact => ({
    pressure_Pa: declaredPressure ?? pressure(),
    radius_m: part.rubbing_radius?.value ?? radius(),
    missing,
  });
  switch (part.contact) {
    case undefined:
      return { missing: [`${path}.contact`], pressure_Pa: Number.NaN, radius_m: Number.NaN };
    case "ball on seat":
      if (valve?.support === "trunnion" && declaredPressure === undefined)
        missing.push(`${path}.contact_pressure`);
      return of(
        () => {
          const R = need("valve.ball_diameter", valve?.ball_diameter) / 2;
          const r = need("valve.seat_contact_diameter", valve?.seat_contact_diameter) / 2;
          const width = need("valve.cold.contact_width", valve?.cold?.contact_width);
          const preload = need("valve.seat.preload", valve?.seat?.preload);
          const colder = need("valve.seat.preload_cold_ratio", valve?.seat?.preload_cold_ratio);
          const drop = supply() - ambient();
          if (missing.length > 0) return Number.NaN;
          const load = floatingSeatLoads(
            r as Length,
            drop as PressureDifference,
            (preload * Math.max(1, colder)) as Force,
            1,
          ).lowPressureSide;
          return ringContactStress(load, R as Length, r as Length, width as Length);
        },
        () => need("valve.ball_diameter", valve?.ball_diameter) / 2,
      );
    case "stem collar":
      return of(
        () => {
          const { diameter, collar_inner_diameter, collar_outer_diameter } = valve?.stem ?? {};
          const d = need("valve.stem.diameter", diameter);
          const outer = need("valve.stem.collar_outer_diameter", collar_outer_diameter);
          const inner = need("valve.stem.collar_inner_diameter", collar_inner_diameter);
          const load = ((Math.PI / 4) * d ** 2 * (supply() - ambient())) as Force;
          return collarPressure(load, outer as Length, inner as Length);
        },
        () => need("valve.stem.collar_outer_diameter", valve?.stem?.collar_outer_diameter) / 2,
      );
    case "stem in bush":
    case "trunnion":
    case "other":
      return of(
        () => need(`${path}.contact_pressure`, undefined),
        () => need(`${path}.rubbing_radius`, undefined),
      );
  }
}
