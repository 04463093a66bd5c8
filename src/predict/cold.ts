/**
 * What the cold does to one valve in one case: the seat loop, the fits and the bolts, each with a small
 * band of its own (docs/theory/cold.md). The spread of a contraction is one input for each material,
 * so that parts of one material move together.
 */
import {
  conditionsOf,
  type Dossier,
  isFaulty,
  materialNamed,
  referenceTemperatures,
  type ValveFile,
} from "../dossier/index.js";
import { type Notice, Refusal } from "../fault/index.js";
import {
  boltForce,
  gapRemaining,
  interferenceRemaining,
  preloadRatio,
  ringContactStress,
} from "../physics/cold/index.js";
import type { Area, Declared, Force, Length, Temperature } from "../quantity/index.js";
import { contraction, type Solid, type SolidValue, solidProperty } from "../substance/index.js";
import { ChainGatherer, type ColdChain, chainOf, shrunk } from "./coldChain.js";
import { coldShare, ratioAt } from "./coldRatio.js";
import type { Slot } from "./gather.js";
import type { Sampling } from "./ownBand.js";

/** A chain followed from inspection to the cold, nominal. */
export interface ColdHistory {
  readonly temperature_K: readonly number[];
  readonly value: readonly number[];
}

/** What the cold does. Figures: of the seat `interference` [m], `ratio` of the preload [-], `stress` cold and
 * `warmStress` [Pa]; of a fit `clearance` and `transient` [m]; of the bolts `force` [N] and `ofYield`, their stress over their yield strength there [-]. */
export interface ColdAnswer {
  readonly temperature: number | undefined;
  readonly seat: ColdChain;
  readonly interference: ColdHistory | undefined;
  readonly fits: readonly (ColdChain & { readonly kind: "stem" | "bearing" | undefined })[];
  readonly bolts: ColdChain | undefined;
  /** Declared materials that are brittle at the temperature of the valve: "body: carbon steel below 244 K". */
  readonly brittle: readonly string[];
  /** Number of parts whose material is on file, and paths of those that nobody knows. */
  readonly materials: number;
  readonly unlooked: readonly string[];
  /** Where the data of a solid are left. */
  readonly notices: readonly Notice[];
}

type ColdFields = NonNullable<NonNullable<ValveFile["valve"]>["cold"]>;
type FitFields = NonNullable<ColdFields["fits"]>[number];

/** Follows the chains of a case. Refuses an unknown case. */
export function coldOf(dossier: Dossier, caseId: string, options: Sampling): ColdAnswer {
  const cold = dossier.valve.valve?.cold ?? {};
  const conditions = conditionsOf(dossier, caseId);
  const index = (dossier.valve.cases ?? []).findIndex(({ id }) => id === caseId);
  const frame: Frame = {
    dossier,
    cold,
    options,
    temperaturePath: `${index < 0 ? "duty" : `cases[${index}]`}.valve_temperature`,
    temperature: conditions.valve_temperature,
  };
  const parts = [...loadedParts(dossier, cold), ...boundaryParts(dossier)];
  const declared = parts.flatMap(({ part, name }) => {
    const material = materialNamed(dossier.valve, name);
    return material === undefined ? [] : [{ part, material }];
  });
  const T = conditions.valve_temperature?.value;
  return {
    temperature: T,
    seat: seatChain(frame),
    interference: seatHistory(frame),
    fits: (cold.fits ?? []).map((fit, j) => ({ ...fitChain(frame, fit, j), kind: fit.kind })),
    bolts: cold.bolts === undefined ? undefined : boltChain(frame, cold.bolts),
    brittle: declared.flatMap(({ part, material }) => {
      const brittle = material.file.brittle_below;
      return brittle === undefined || T === undefined || T > brittle.T_K
        ? []
        : [`${part}: ${material.name} below ${brittle.T_K} K, ${brittle.limit}`];
    }),
    materials: declared.length,
    unlooked: parts.flatMap(({ path, name }) =>
      materialNamed(dossier.valve, name) === undefined ? [path] : [],
    ),
    notices: noticesOf(
      declared.map(({ material }) => material),
      cold.inspected_at?.value ?? referenceTemperatures.ambient_K,
      T,
    ),
  };
}

interface LoadedPart {
  readonly path: string;
  readonly part: string;
  readonly name: string | undefined;
}

/** Parts of the valve that are cold and carry load: those named, and body and ball in any case. */
function loadedParts(dossier: Dossier, cold: ColdFields): readonly LoadedPart[] {
  const named = (path: string, part: string, name: string | undefined): readonly LoadedPart[] =>
    name === undefined && !isFaulty(dossier, path) ? [] : [{ path, part, name }];
  const { bolts, fits = [], pipe, cool_down: coolDown } = cold;
  return [
    { path: "valve.cold.body_material", part: "body", name: cold.body_material },
    { path: "valve.cold.ball_material", part: "ball", name: cold.ball_material },
    ...(bolts === undefined
      ? []
      : [
          { path: "valve.cold.bolts.material", part: "bolts", name: bolts.material },
          { path: "valve.cold.bolts.clamped_material", part: "flange", name: bolts.clamped_material },
        ]),
    ...fits.flatMap(({ name, shaft_material, hole_material }, j) => [
      ...named(`valve.cold.fits[${j}].shaft_material`, name ?? "shaft", shaft_material),
      ...named(`valve.cold.fits[${j}].hole_material`, `outer part of ${name ?? "a fit"}`, hole_material),
    ]),
    ...named("valve.cold.pipe.material", "pipe", pipe?.material),
    ...(coolDown?.parts ?? []).flatMap(({ name, kind, material }, j) =>
      kind === "seat"
        ? []
        : named(`valve.cold.cool_down.parts[${j}].material`, name ?? `part ${j + 1}`, material),
    ),
  ];
}

/** Walls and the stem's shoulder, as the pressure boundary names them. */
function boundaryParts({ valve }: Dossier): readonly LoadedPart[] {
  const { walls = [], retention } = valve.valve?.boundary ?? {};
  return [
    ...walls.map(({ name, material }, j) => ({
      path: `valve.boundary.walls[${j}].material`,
      part: name ?? `wall ${j + 1}`,
      name: material,
    })),
    ...(retention?.held_by === "shoulder"
      ? [{ path: "valve.boundary.retention.material", part: "stem's shoulder", name: retention.material }]
      : []),
  ];
}

/** Where the contraction of a material is followed beyond its data, each said once. */
function noticesOf(materials: readonly Solid[], from: number, to: number | undefined): readonly Notice[] {
  if (to === undefined) return [];
  const said = new Map<string, Notice>();
  for (const material of materials) {
    try {
      for (const notice of contraction(material, from as Temperature, to as Temperature).notices)
        said.set(notice.text, notice);
    } catch (thrown) {
      if (!(thrown instanceof Refusal)) throw thrown;
    }
  }
  return [...said.values()];
}

interface Frame {
  readonly dossier: Dossier;
  readonly cold: ColdFields;
  readonly options: Sampling;
  readonly temperaturePath: string;
  readonly temperature: Declared | undefined;
}

const seatFigures = ["interference", "ratio", "stress", "warmStress"] as const;

function gatherSeat({ dossier, cold, temperature, temperaturePath }: Frame) {
  const { valve } = dossier.valve;
  const collected = new ChainGatherer(seatFigures, dossier);
  const loop = ["interference", "ratio"];
  const stress = ["stress", "warmStress"];
  const slots = {
    T: collected.need(temperaturePath, temperature),
    T0: collected.may("valve.cold.inspected_at", cold.inspected_at),
    interference: collected.need("valve.cold.interference", cold.interference, loop),
    height: collected.need("valve.cold.seat_height", cold.seat_height, loop),
    stiffness: collected.need("valve.cold.stiffness_cold_ratio", cold.stiffness_cold_ratio, ["ratio"]),
    ball: collected.need("valve.ball_diameter", valve?.ball_diameter),
    contact: collected.need("valve.seat_contact_diameter", valve?.seat_contact_diameter),
    width: collected.need("valve.cold.contact_width", cold.contact_width, stress),
    preload: collected.need("valve.seat.preload", valve?.seat?.preload, stress),
    preloadRatio: collected.need("valve.seat.preload_cold_ratio", valve?.seat?.preload_cold_ratio, [
      "stress",
    ]),
  };
  const material = (path: string, name: string | undefined) => collected.material(path, name, loop);
  return {
    collected,
    slots,
    body: material("valve.cold.body_material", cold.body_material),
    ball: material("valve.cold.ball_material", cold.ball_material),
    seat: material("valve.cold.seat_material", cold.seat_material),
  };
}

type SeatParts = ReturnType<typeof gatherSeat>;

/** Remaining interference at a temperature. */
function seatInterference({ slots, body, ball, seat }: SeatParts, at: (slot: Slot) => number, T: number) {
  const T0 = slots.T0 < 0 ? referenceTemperatures.ambient_K : at(slots.T0);
  return interferenceRemaining({
    interference: at(slots.interference) as Length,
    ballRadius: (at(slots.ball) / 2) as Length,
    contactRadius: (at(slots.contact) / 2) as Length,
    seatHeight: at(slots.height) as Length,
    contraction: {
      body: shrunk(body, at, T0, T),
      ball: shrunk(ball, at, T0, T),
      seat: shrunk(seat, at, T0, T),
    },
  });
}

function seatChain(frame: Frame): ColdChain {
  const parts = gatherSeat(frame);
  const { collected, slots } = parts;
  return chainOf(collected, { path: "valve.cold", name: "seats" }, seatFigures, frame.options, (at) => {
    const T = at(slots.T);
    const remaining = seatInterference(parts, at, T);
    const share = coldShare(T, referenceTemperatures.cold_K);
    const stress = (force: number) =>
      ringContactStress(
        force as Force,
        (at(slots.ball) / 2) as Length,
        (at(slots.contact) / 2) as Length,
        at(slots.width) as Length,
      );
    return {
      interference: remaining,
      ratio: preloadRatio(remaining, at(slots.interference) as Length, ratioAt(at(slots.stiffness), share)),
      stress: stress(at(slots.preload) * ratioAt(at(slots.preloadRatio), share)),
      warmStress: stress(at(slots.preload)),
    };
  });
}

/** Points between inspection and cold. */
const historyPoints = 41;

function seatHistory(frame: Frame): ColdHistory | undefined {
  const parts = gatherSeat(frame);
  const { nominal } = parts.collected.gather.space([], []);
  if (parts.collected.gather.missingFor("interference").length > 0) return undefined;
  const at = (slot: Slot) => nominal[slot] ?? Number.NaN;
  const T0 = parts.slots.T0 < 0 ? referenceTemperatures.ambient_K : at(parts.slots.T0);
  const end = at(parts.slots.T);
  if (!(end < T0)) return undefined;
  try {
    const temperatures = Array.from(
      { length: historyPoints },
      (_, j) => T0 + ((end - T0) * j) / (historyPoints - 1),
    );
    return {
      temperature_K: temperatures,
      value: temperatures.map((T) => seatInterference(parts, at, T)),
    };
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return undefined;
  }
}

const fitFigures = ["clearance", "transient"] as const;
/** Temperatures between inspection and cold at which the parts in transit are looked at. */
const transitSteps = 8;

function fitChain(frame: Frame, fit: FitFields, j: number): ColdChain {
  const { dossier, cold, temperature, temperaturePath, options } = frame;
  const path = `valve.cold.fits[${j}]`;
  const collected = new ChainGatherer(fitFigures, dossier);
  const slots = {
    T:
      fit.temperature === undefined && !isFaulty(dossier, `${path}.temperature`)
        ? collected.need(temperaturePath, temperature)
        : collected.need(`${path}.temperature`, fit.temperature),
    T0: collected.may("valve.cold.inspected_at", cold.inspected_at),
    diameter: collected.need(`${path}.diameter`, fit.diameter),
    clearance: collected.need(`${path}.clearance`, fit.clearance),
    lag: collected.need(`${path}.lag`, fit.lag, ["transient"]),
  };
  const hole = collected.material(`${path}.hole_material`, fit.hole_material);
  const shaft = collected.material(`${path}.shaft_material`, fit.shaft_material);
  const name = fit.name ?? `fit ${j + 1}`;
  return chainOf(collected, { path, name }, fitFigures, options, (at) => {
    const T0 = slots.T0 < 0 ? referenceTemperatures.ambient_K : at(slots.T0);
    const T = at(slots.T);
    const length = at(slots.diameter) as Length;
    const clearance = (holeAt: number, shaftAt: number) =>
      gapRemaining(
        at(slots.clearance) as Length,
        [{ length, contraction: shrunk(hole, at, T0, holeAt) }],
        [{ length, contraction: shrunk(shaft, at, T0, shaftAt) }],
      );
    const behind = (ahead: number) => Math.min(ahead + at(slots.lag), Math.max(T0, ahead));
    const transit = Array.from({ length: transitSteps }, (_, k) => T0 + ((T - T0) * (k + 1)) / transitSteps);
    return {
      clearance: clearance(T, T),
      transient: Math.min(
        ...transit.flatMap((ahead) => [clearance(ahead, behind(ahead)), clearance(behind(ahead), ahead)]),
      ),
    };
  });
}

const boltFigures = ["force", "ofYield"] as const;

function boltChain(frame: Frame, bolts: NonNullable<ColdFields["bolts"]>): ColdChain {
  const { cold, temperature, temperaturePath, options } = frame;
  const path = "valve.cold.bolts";
  const collected = new ChainGatherer(boltFigures, frame.dossier);
  const slots = {
    T: collected.need(temperaturePath, temperature),
    T0: collected.may("valve.cold.inspected_at", cold.inspected_at),
    area: collected.need(`${path}.stress_area`, bolts.stress_area),
    share: collected.need(`${path}.stiffness_ratio`, bolts.stiffness_ratio),
    preload: collected.need(`${path}.preload`, bolts.preload),
  };
  const bolt = collected.material(`${path}.material`, bolts.material);
  const clamped = collected.material(`${path}.clamped_material`, bolts.clamped_material);
  const yields = yieldAt(bolt.material, temperature?.value);
  const spread =
    yields === undefined || bolt.material === undefined
      ? -1
      : collected.factor(
          `yield strength of ${bolt.material.id}`,
          yields.low / yields.value,
          yields.high / yields.value,
        );
  if (yields === undefined && bolt.material !== undefined)
    collected.lack(`the yield strength of ${bolt.material.id} at the temperature of the valve`, ["ofYield"]);
  return chainOf(collected, { path, name: "bolts" }, boltFigures, options, (at) => {
    const T0 = slots.T0 < 0 ? referenceTemperatures.ambient_K : at(slots.T0);
    const T = at(slots.T);
    if (bolt.material === undefined || Number.isNaN(T)) return { force: Number.NaN };
    const { material } = bolt;
    const modulus = (temperatureOf: number) =>
      solidProperty(material, "youngs_modulus", temperatureOf as Temperature).value;
    const force = boltForce({
      preload: at(slots.preload) as Force,
      stressArea: at(slots.area) as Area,
      modulus: modulus(T),
      modulusRatio: modulus(T) / modulus(T0),
      stiffnessShare: at(slots.share),
      contraction: { bolt: shrunk(bolt, at, T0, T), clamped: shrunk(clamped, at, T0, T) },
    });
    return {
      force,
      ofYield: yields === undefined ? Number.NaN : force / at(slots.area) / (yields.value * at(spread)),
    };
  });
}

/** Yield strength of a solid at a temperature; undefined where its data do not reach it. */
function yieldAt(material: Solid | undefined, T: number | undefined): SolidValue | undefined {
  if (material?.file.yield_strength === undefined || T === undefined) return undefined;
  try {
    return solidProperty(material, "yield_strength", T as Temperature);
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return undefined;
  }
}
