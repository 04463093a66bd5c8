/**
 * Heat through the extension of one valve in one case, with a small band of its own: temperatures of gearbox
 * and motor, the leak, the outside against dew and liquid air, what shrinks between stem and bracket, and
 * the pull of the cold pipe (docs/theory/heat.md).
 */
import {
  type Conditions,
  conditionsOf,
  type Dossier,
  type HeatInputs,
  type HeatKey,
  type HeatState,
  heatInputs,
  heatState,
  isFaulty,
  materialNamed,
  referenceTemperatures,
} from "../dossier/index.js";
import type { Notice } from "../fault/index.js";
import { TemperatureCurve } from "../physics/heat/index.js";
import { type Temperature, zeroCelsius } from "../quantity/index.js";
import { contraction, solidProperty } from "../substance/index.js";
import { ChainGatherer, type ColdChain, chainOf, type Shrinking, shrunk } from "./coldChain.js";
import type { Slot } from "./gather.js";
import type { Sampling } from "./ownBand.js";

/**
 * What the heat does. Figures of the extension: `gearbox` and `motor` when the stroke begins, `packing`,
 * `steadyGearbox`, `steadyMotor` and `outside`, the coldest of the surface [K], `leak` [W], `aboveDew` of
 * the colder of gearbox and motor [K], `frosted` length [m], `shift` of the stem out of its coupling [m]. Of
 * the pipe: `force`, positive where it pulls [N].
 */
export interface HeatAnswer {
  /** Whether anything of an extension is declared. */
  readonly isDeclared: boolean;
  readonly extension: ColdChain;
  readonly profile: HeatProfile | undefined;
  readonly pipe: ColdChain;
  /** The seat, at the temperature of the valve: figure `temperature`. */
  readonly seat: ColdChain;
  /** Parts of the extension whose material is on file, at their own temperature. */
  readonly parts: readonly WarmPart[];
  readonly notices: readonly Notice[];
}

/** A loaded part away from the valve; its temperature is not known where the extension's are not. */
export interface WarmPart {
  readonly part: string;
  readonly material: string;
  readonly temperature_K: number | undefined;
  /** Undefined for a material that stays tough. */
  readonly brittle: { readonly T_K: number; readonly limit: string } | undefined;
}

/** Temperatures along the extension at the nominal values, steady. */
export interface HeatProfile {
  readonly x_m: readonly number[];
  readonly tube_K: readonly number[];
  readonly stem_K: readonly number[];
  readonly outside_K: readonly number[];
  readonly length_m: number;
  readonly dewPoint_K: number;
  readonly ambient_K: number;
  readonly fromAir_W: { readonly tube: number; readonly gearbox: number; readonly motor: number };
  readonly heater_W: number;
  readonly coldFor_s: number | undefined;
}

/** A sample solves the extension anew: more of them would not move what is printed. */
const mostSamples = 64;

const figures = [
  "gearbox",
  "motor",
  "steadyGearbox",
  "steadyMotor",
  "packing",
  "outside",
  "leak",
  "aboveDew",
  "frosted",
  "shift",
] as const;

/** Follows the heat of a case. Refuses an unknown case. */
export function heatOf(dossier: Dossier, caseId: string, sampling: Sampling): HeatAnswer {
  const { valve } = dossier;
  const conditions = conditionsOf(dossier, caseId);
  const index = (valve.cases ?? []).findIndex(({ id }) => id === caseId);
  const at = index < 0 ? "duty" : `cases[${index}]`;
  const given = valve.valve?.cold?.extension;
  const options = { ...sampling, most: mostSamples };
  const inputs = heatInputs(valve, conditions, at, (path) => isFaulty(dossier, path));
  const { chain, state } = extensionChain(dossier, inputs, options);
  const end = state?.steady.tube.at(-1);
  const bracket = given?.bracket?.material;
  return {
    isDeclared: given !== undefined,
    extension: chain,
    profile: state === undefined ? undefined : profileOf(state),
    pipe: pipeChain(dossier, conditions, at, options),
    seat: seatChain(dossier, conditions, at, options),
    parts: [
      {
        part: "extension tube",
        material: given?.tube_material,
        temperature_K: conditions.valve_temperature?.value,
      },
      {
        part: "extension stem",
        material: given?.stem_material,
        temperature_K: conditions.valve_temperature?.value,
      },
      { part: "gearbox bracket", material: bracket, temperature_K: end },
    ].flatMap(({ part, material: name, temperature_K }): readonly WarmPart[] => {
      const material = materialNamed(dossier.valve, name);
      if (material === undefined) return [];
      return [{ part, material: material.name, temperature_K, brittle: material.file.brittle_below }];
    }),
    notices: state === undefined ? [] : notices(inputs, state),
  };
}

/** Slots of the extension by name, with those of the shrinking parts. */
function gatherExtension(dossier: Dossier, { values, lacking }: HeatInputs) {
  const { valve } = dossier.valve;
  const given = valve?.cold?.extension;
  const collected = new ChainGatherer(figures, dossier);
  const slots = new Map<HeatKey, Slot>();
  for (const { key, path, declared, isNeeded } of values)
    slots.set(key, isNeeded ? collected.need(path, declared) : collected.may(path, declared));
  for (const path of lacking) collected.lack(path);
  const at = "valve.cold.extension";
  const shift = ["shift"];
  return {
    collected,
    slots,
    packingAt: collected.need(`${at}.packing.at`, given?.packing?.at, ["packing"]),
    bracketLength: collected.need(`${at}.bracket.length`, given?.bracket?.length, shift),
    inspectedAt: collected.may("valve.cold.inspected_at", valve?.cold?.inspected_at),
    tube: collected.material(`${at}.tube_material`, given?.tube_material, shift),
    stem: collected.material(`${at}.stem_material`, given?.stem_material, shift),
    bracket: collected.material(`${at}.bracket.material`, given?.bracket?.material, shift),
  };
}

function extensionChain(
  dossier: Dossier,
  inputs: HeatInputs,
  options: Sampling,
): { readonly chain: ColdChain; readonly state: HeatState | undefined } {
  const gathered = gatherExtension(dossier, inputs);
  const { collected, slots } = gathered;
  const { words } = inputs;
  const isOpen = words === undefined || collected.gather.missingFor("gearbox").length > 0;
  const shrinkage = new Shrinkage();
  const stateAt = (at: (slot: Slot) => number) =>
    words === undefined
      ? undefined
      : heatState(words, (key) => {
          const slot = slots.get(key) ?? -1;
          return slot < 0 ? undefined : at(slot);
        });
  const chain = chainOf(
    collected,
    { path: "valve.cold.extension", name: "extension" },
    figures,
    isOpen ? { ...options, samples: 0 } : options,
    (at) => {
      const state = isOpen ? undefined : stateAt(at);
      return state === undefined ? {} : figuresOf(state, gathered, at, shrinkage);
    },
  );
  const { nominal } = collected.gather.space([], []);
  const isKnown = !isOpen && chain.unfit === undefined;
  return { chain, state: isKnown ? stateAt((slot) => nominal[slot] ?? Number.NaN) : undefined };
}

/** Contractions on an even grid, so that a profile of many places costs no more than one. */
class Shrinkage {
  private readonly curves = new Map<string, TemperatureCurve>();

  /** Contraction from the reference temperature of the data [-]. */
  at(part: Shrinking, T: number): number {
    const { material } = part;
    if (material === undefined) return Number.NaN;
    const { ambient_K } = referenceTemperatures;
    const known = this.curves.get(material.id);
    const curve =
      known ??
      new TemperatureCurve((to) => contraction(material, ambient_K as Temperature, to as Temperature).value);
    if (known === undefined) this.curves.set(material.id, curve);
    return curve.value(T);
  }
}

function figuresOf(
  state: HeatState,
  { packingAt, bracketLength, inspectedAt, tube, stem, bracket }: ReturnType<typeof gatherExtension>,
  at: (slot: Slot) => number,
  shrinkage: Shrinkage,
): Readonly<Record<string, number>> {
  const { steady, atStroke, design, dewPoint, tube: layered } = state;
  const cell = design.length / steady.x.length;
  const from = inspectedAt < 0 ? referenceTemperatures.ambient_K : at(inspectedAt);
  const shrinking = (part: Shrinking) => {
    const factor = part.slot < 0 ? Number.NaN : at(part.slot);
    const before = shrinkage.at(part, from);
    return (T: number) => (shrinkage.at(part, T) - before) * factor;
  };
  const [ofTube, ofStem, ofBracket] = [shrinking(tube), shrinking(stem), shrinking(bracket)];
  const along = (share: (T: number) => number, profile: Float64Array) =>
    profile.reduce((sum, T) => sum + share(T) * cell, 0);
  const tubeEnd = steady.tube.at(-1) ?? Number.NaN;
  const stemEnd = steady.stem.at(-1) ?? Number.NaN;
  const height = at(bracketLength);
  const held = along(ofTube, steady.tube) + ofBracket(0.5 * (tubeEnd + steady.gearbox)) * height;
  const reaching = along(ofStem, steady.stem) + ofStem(0.5 * (stemEnd + steady.gearbox)) * height;
  return {
    gearbox: atStroke.gearbox,
    motor: atStroke.motor,
    steadyGearbox: steady.gearbox,
    steadyMotor: steady.motor,
    packing: temperatureAt(state, at(packingAt)),
    outside: layered.outsideAt(Math.min(design.cold, design.ambient)),
    leak: steady.toValve,
    aboveDew: Math.min(atStroke.gearbox, atStroke.motor) - dewPoint,
    frosted: frostedLength(state),
    shift: reaching - held,
  };
}

/** Temperature of the stem at a distance from the cold end, steady. */
function temperatureAt({ steady: { x, stem }, design: { cold } }: HeatState, place: number): number {
  if (Number.isNaN(place)) return Number.NaN;
  const after = x.findIndex((one) => one >= place);
  if (after < 0) return stem.at(-1) ?? Number.NaN;
  const [x0, T0] = after === 0 ? [0, cold] : [x[after - 1] ?? 0, stem[after - 1] ?? cold];
  const [x1, T1] = [x[after] ?? 0, stem[after] ?? cold];
  return T0 + ((T1 - T0) * (place - x0)) / (x1 - x0);
}

/** Length of the tube whose outside is below 0 degC and below the dew point. */
function frostedLength({ steady, tube, design, dewPoint }: HeatState): number {
  const limit = Math.min(zeroCelsius.value, dewPoint) + nearly;
  const cells = steady.tube.reduce((sum, T) => sum + (tube.outsideAt(T) < limit ? 1 : 0), 0);
  return (cells * design.length) / steady.tube.length;
}

/** Frost that would melt keeps its outside at the limit itself: counted with it [K]. */
const nearly = 1e-6;

function profileOf({ steady, tube, design, dewPoint, coldFor }: HeatState): HeatProfile {
  const { cold, length, ambient, heater } = design;
  return {
    x_m: [0, ...steady.x],
    tube_K: [cold, ...steady.tube],
    stem_K: [cold, ...steady.stem],
    outside_K: [tube.outsideAt(cold), ...Array.from(steady.tube, (T) => tube.outsideAt(T))],
    length_m: length,
    dewPoint_K: dewPoint,
    ambient_K: ambient,
    fromAir_W: { tube: steady.toTube, gearbox: steady.toGearbox, motor: steady.toMotor },
    heater_W: heater,
    coldFor_s: coldFor,
  };
}

/** Says where the conductivity of a solid is followed beyond its data. */
function notices({ words }: HeatInputs, { steady }: HeatState): readonly Notice[] {
  const warmest = Math.max(...steady.tube, ...steady.stem) as Temperature;
  const coldest = Math.min(...steady.tube, ...steady.stem) as Temperature;
  const all = [words?.tube, words?.stem].flatMap((one) =>
    one === undefined
      ? []
      : [coldest, warmest].flatMap((T) => solidProperty(one.material, "conductivity", T).notices),
  );
  return all.filter(({ text }, n) => all.findIndex((other) => other.text === text) === n);
}

const pipeFigures = ["force"] as const;

/** Pull of the cold pipe at the valve's ends, F = c L k [asme-b31.3-2016, 319]. */
function pipeChain(dossier: Dossier, conditions: Conditions, at: string, options: Sampling): ColdChain {
  const { valve } = dossier.valve;
  const pipe = valve?.cold?.pipe;
  const collected = new ChainGatherer(pipeFigures, dossier);
  const path = "valve.cold.pipe";
  const slots = {
    T: collected.need(`${at}.valve_temperature`, conditions.valve_temperature),
    T0: collected.may("valve.cold.inspected_at", valve?.cold?.inspected_at),
    length: collected.need(`${path}.length`, pipe?.length),
    stiffness: collected.need(`${path}.stiffness`, pipe?.stiffness),
  };
  const material = collected.material(`${path}.material`, pipe?.material);
  return chainOf(collected, { path, name: "pipe" }, pipeFigures, options, (value) => {
    const T0 = slots.T0 < 0 ? referenceTemperatures.ambient_K : value(slots.T0);
    const shortening = shrunk(material, value, T0, value(slots.T)) * value(slots.length);
    return { force: shortening * value(slots.stiffness) };
  });
}

/** The temperature of the valve by itself. */
function seatChain(dossier: Dossier, conditions: Conditions, at: string, options: Sampling): ColdChain {
  const collected = new ChainGatherer(["temperature"], dossier);
  const T = collected.need(`${at}.valve_temperature`, conditions.valve_temperature);
  return chainOf(collected, { path: "valve.cold", name: "seats" }, ["temperature"], options, (value) => ({
    temperature: value(T),
  }));
}
