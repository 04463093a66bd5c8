/** What the cool-down of one case rests on: its slots, and for each figure the fields that nobody gave. */
import { type Conditions, type Dossier, isFaulty, type ValveFile } from "../dossier/index.js";
import type { CorrelationFactors } from "../physics/cold/index.js";
import type { Temperature } from "../quantity/index.js";
import { type Solid, solidMean } from "../substance/index.js";
import { ChainGatherer, type Shrinking } from "./coldChain.js";
import type { Slot } from "./gather.js";

export type ColdFields = NonNullable<NonNullable<ValveFile["valve"]>["cold"]>;
type CoolDownFields = NonNullable<ColdFields["cool_down"]>;
type PartFields = NonNullable<CoolDownFields["parts"]>[number];
type FitFields = NonNullable<ColdFields["fits"]>[number];

export const coolDownPath = "valve.cold.cool_down";

/** Figures of the cool-down itself, `history` for what all of it rests on; each part has `cold:<its place>`, each fit that follows parts `fit:<its place>`. */
export const coolDownFigures = [
  "history",
  "ready",
  "turn",
  "spent",
  "least",
  "latent",
  "difference",
  "differenceTime",
  "tightest",
  "loosest",
] as const;

/** Kinds of part that have to be cold before the valve is turned. */
const turningKinds = ["ball", "seat", "body"] as const;

/**
 * By which factor each correlation is off, as published most likely. Nucleate boiling spreads twofold in the flux with
 * the surface [rohsenow-1952], the critical flux by a fifth [zuber-1959], the least flux with roughness and
 * deposits up to twofold, a film by a fifth to a third, convection by a quarter, more in entrances and bends:
 * estimates from memory.
 */
const correlationSpread: readonly (readonly [
  of: string,
  key: keyof CorrelationFactors,
  low: number,
  high: number,
])[] = [
  ["nucleate boiling over its correlation", "nucleate", 0.5, 2],
  ["critical heat flux over its correlation", "critical", 0.8, 1.2],
  ["least heat flux of film boiling over its correlation", "leastFilm", 0.7, 2],
  ["film boiling over its correlation", "film", 0.8, 1.35],
  ["convection over its correlation", "convection", 0.75, 1.5],
];

/** One part with the slots of its values. */
export interface PlannedPart {
  readonly name: string;
  readonly kind: PartFields["kind"];
  readonly mass: Slot;
  /** Material whose specific heat is followed; undefined where a mean one is declared. */
  readonly material: Solid | undefined;
  /** Spread of the material's specific heat, or the declared mean one. */
  readonly specificHeat: Slot;
  readonly isWetted: boolean;
  readonly area: Slot;
  readonly passage: Slot;
  readonly toSurroundings: Slot;
}

/** A fit whose parts follow the histories, with the places of the parts. */
export interface PlannedFit {
  readonly place: number;
  readonly hole: Shrinking;
  readonly shaft: Shrinking;
  readonly holeFollows: number;
  readonly shaftFollows: number;
  readonly diameter: Slot;
  readonly clearance: Slot;
}

export type CoolDownPlan = ReturnType<typeof planCoolDown>;

/** What the plan is made from. */
export interface CoolDownFrame {
  readonly dossier: Dossier;
  readonly cold: ColdFields;
  readonly conditions: Conditions;
  /** Path of the case: "duty", "cases[0]". */
  readonly place: string;
}

export function planCoolDown(frame: CoolDownFrame) {
  const { dossier, cold, conditions, place } = frame;
  const given = cold.cool_down ?? {};
  const partFields = given.parts ?? [];
  const following = (cold.fits ?? []).flatMap((fit, j) => (followsParts(fit) ? [j] : []));
  const ids = [
    ...coolDownFigures,
    ...partFields.map((_, j) => `cold:${j}`),
    ...following.map((j) => `fit:${j}`),
  ];
  const collected = new ChainGatherer(ids, dossier);
  const need = (end: string, declared: Parameters<ChainGatherer["need"]>[1]) =>
    collected.need(`${coolDownPath}.${end}`, declared);
  const slots = {
    start: need("start", given.start),
    surroundings: need("surroundings", given.surroundings),
    flow: need("flow", given.flow),
    pressure: need("pressure", given.pressure),
    supply: collected.need(`${place}.supply_pressure`, conditions.supply_pressure),
    fluid: collected.need(`${place}.fluid_temperature`, conditions.fluid_temperature),
    near: collected.may(`${coolDownPath}.near`, given.near),
    alike: collected.may(`${coolDownPath}.alike`, given.alike),
  };
  if (conditions.fluid === undefined) collected.lack(`${place}.fluid`);
  if (partFields.length === 0) collected.lack(`${coolDownPath}.parts`);
  const parts = partFields.map((part, j) => planPart(frame, collected, part, j));
  const named = (name: string | undefined) => parts.findIndex((part) => part.name === name);
  const links = planLinks(frame, collected, named);
  requirePaths(collected, parts, links);
  requireReady(collected, parts, slots, partFields.length);
  return {
    ids,
    collected,
    slots,
    parts,
    links,
    factors: correlationSpread.map(
      ([of, key, low, high]) => [key, collected.factor(of, low, high, "triangular")] as const,
    ),
    fits: following.map((j) => planFit(frame, collected, j, named)),
    seats: planSeats(frame, collected, parts),
    inspected: collected.may("valve.cold.inspected_at", cold.inspected_at),
  };
}

/** Whether a fit names the parts that it follows. */
export function followsParts({ hole_follows: hole, shaft_follows: shaft }: FitFields): boolean {
  return hole !== undefined || shaft !== undefined;
}

function planPart(
  { dossier }: CoolDownFrame,
  collected: ChainGatherer,
  part: PartFields,
  j: number,
): PlannedPart {
  const path = `${coolDownPath}.parts[${j}]`;
  const isWetted = part.wetted_area !== undefined || isFaulty(dossier, `${path}.wetted_area`);
  return {
    name: part.name ?? `part ${j + 1}`,
    kind: part.kind,
    mass: collected.need(`${path}.mass`, part.mass),
    ...specificHeatOf(collected, path, part),
    isWetted,
    area: isWetted ? collected.need(`${path}.wetted_area`, part.wetted_area) : -1,
    passage: isWetted ? collected.need(`${path}.passage`, part.passage) : -1,
    toSurroundings: collected.need(`${path}.surroundings_resistance`, part.surroundings_resistance),
  };
}

/** The declared mean specific heat goes before the material's; entered with a fault, nothing stands for it. */
function specificHeatOf(
  collected: ChainGatherer,
  path: string,
  { material: name, specific_heat: declared }: PartFields,
): Pick<PlannedPart, "material" | "specificHeat"> {
  const specificHeat = collected.may(`${path}.specific_heat`, declared);
  if (specificHeat >= 0) return { material: undefined, specificHeat };
  const material = collected.solid(name);
  const data = material?.file.specific_heat;
  if (material === undefined || data === undefined) {
    collected.lack(material === undefined ? `${path}.material` : `${path}.specific_heat`);
    return { material: undefined, specificHeat: -1 };
  }
  const spread = relativeSpread(material);
  return {
    material,
    specificHeat: collected.factor(`specific heat of ${material.id}`, 1 - spread, 1 + spread),
  };
}

/** Where the spread of a specific heat is taken [K]. */
const spreadAt = { from: 100 as Temperature, to: 290 as Temperature };

function relativeSpread(material: Solid): number {
  const { low, high } = solidMean(material, "specific_heat", spreadAt.from, spreadAt.to);
  return (high - low) / (high + low);
}

function planLinks(
  { dossier, cold }: CoolDownFrame,
  collected: ChainGatherer,
  named: (name: string | undefined) => number,
) {
  if (cold.cool_down?.links === undefined && isFaulty(dossier, `${coolDownPath}.links`))
    collected.lack(`${coolDownPath}.links`);
  return (cold.cool_down?.links ?? []).map(({ first, second, resistance }, j) => {
    const path = `${coolDownPath}.links[${j}]`;
    const place = (end: "first" | "second", name: string | undefined) => {
      const found = named(name);
      if (found < 0) collected.lack(`${path}.${end}`);
      return found;
    };
    return {
      first: place("first", first),
      second: place("second", second),
      resistance: collected.need(`${path}.resistance`, resistance),
    };
  });
}

/** A part that neither coolant nor another part reaches would stay as it is: its wall or its link is not known. */
function requirePaths(
  collected: ChainGatherer,
  parts: readonly PlannedPart[],
  links: readonly { readonly first: number; readonly second: number }[],
): void {
  const reached = new Set(parts.flatMap(({ isWetted }, j) => (isWetted ? [j] : [])));
  for (let grown = true; grown; ) {
    const before = reached.size;
    for (const { first, second } of links) {
      if (reached.has(first) && second >= 0) reached.add(second);
      if (reached.has(second) && first >= 0) reached.add(first);
    }
    grown = reached.size > before;
  }
  parts.forEach((_, j) => {
    if (!reached.has(j)) collected.lack(`${coolDownPath}.parts[${j}].wetted_area`);
  });
}

/** Ready needs a criterion, and one part of each kind that is turned or turned in. */
function requireReady(
  collected: ChainGatherer,
  parts: readonly PlannedPart[],
  { near, alike }: { readonly near: Slot; readonly alike: Slot },
  count: number,
): void {
  const ready = ["ready", "turn", "spent"];
  const cold = parts.map((_, j) => `cold:${j}`);
  if (near < 0) collected.lack(`${coolDownPath}.near`, alike < 0 ? [...ready, ...cold] : cold);
  const turning = [...ready, "least", "latent", "difference", "differenceTime", "tightest", "loosest"];
  parts.forEach(({ kind }, j) => {
    if (kind === undefined) collected.lack(`${coolDownPath}.parts[${j}].kind`, turning);
  });
  const kinds = new Set(parts.map(({ kind }) => kind));
  if (count === 0 || kinds.has(undefined)) return;
  for (const kind of turningKinds)
    if (!kinds.has(kind)) collected.lack(`${coolDownPath}.parts: one of kind ${kind}`, turning);
}

function planFit(
  { cold }: CoolDownFrame,
  collected: ChainGatherer,
  j: number,
  named: (name: string | undefined) => number,
): PlannedFit {
  const fit = cold.fits?.[j] ?? {};
  const path = `valve.cold.fits[${j}]`;
  // A fit that is not known leaves open when the valve may be turned.
  const figures = [`fit:${j}`, "turn", "spent"];
  const follows = (end: "hole_follows" | "shaft_follows") => {
    const found = named(fit[end]);
    if (found < 0) collected.lack(`${path}.${end}`, figures);
    return found;
  };
  return {
    place: j,
    hole: collected.material(`${path}.hole_material`, fit.hole_material, figures),
    shaft: collected.material(`${path}.shaft_material`, fit.shaft_material, figures),
    holeFollows: follows("hole_follows"),
    shaftFollows: follows("shaft_follows"),
    diameter: collected.need(`${path}.diameter`, fit.diameter, figures),
    clearance: collected.need(`${path}.clearance`, fit.clearance, figures),
  };
}

/** The seat loop while its parts cool at their own pace; undefined where its parts are not all there. */
function planSeats(
  { dossier, cold }: CoolDownFrame,
  collected: ChainGatherer,
  parts: readonly PlannedPart[],
) {
  const { valve } = dossier.valve;
  const figures = ["tightest", "loosest"];
  const material = (end: "body_material" | "ball_material" | "seat_material") =>
    collected.material(`valve.cold.${end}`, cold[end], figures);
  const placesOf = (kind: (typeof turningKinds)[number]) =>
    parts.flatMap((part, j) => (part.kind === kind ? [j] : []));
  return {
    places: { body: placesOf("body"), ball: placesOf("ball"), seat: placesOf("seat") },
    body: material("body_material"),
    ball: material("ball_material"),
    seat: material("seat_material"),
    interference: collected.need("valve.cold.interference", cold.interference, figures),
    height: collected.need("valve.cold.seat_height", cold.seat_height, figures),
    ballDiameter: collected.need("valve.ball_diameter", valve?.ball_diameter, figures),
    contact: collected.need("valve.seat_contact_diameter", valve?.seat_contact_diameter, figures),
  };
}
