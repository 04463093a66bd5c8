/** The engine of a dossier: its slots once, its two sides and its chamber for every sample. */
import { type Dossier, isFaulty, type ValveFile } from "../dossier/index.js";
import {
  circleArea,
  criticalPressureRatioFactor,
  geometricCoefficientsOverAngles,
  throatRatiosOverAngles,
} from "../physics/flow/index.js";
import type { Chamber, Engine, OpeningTrace, Pressurant, StartSide } from "../physics/start/index.js";
import type { Angle, Area, Density, Length, Pressure, Time, Volume } from "../quantity/index.js";
import type { Gatherer, Slot } from "./gather.js";
import { type LiquidFit, liquidFit } from "./liquidFit.js";
import type { Plan } from "./plan.js";
import type { Sense } from "./strokes.js";
import type { ValveSample } from "./valveSample.js";

type Fields = NonNullable<ValveFile["engine"]>;
type Way = NonNullable<Fields["own"]>;

interface WaySlots {
  readonly kind: "regulated" | "blowdown" | undefined;
  readonly droop: Slot;
  readonly ullage: Slot;
  readonly exponent: Slot;
  readonly volume: Slot;
  readonly injector: Slot;
}

/** Points of the partner's opening. */
const partnerPoints = 41;
/** Its ball turns so far [rad]. */
const quarterTurn = Math.PI / 2;

const partnerFields = [
  "fluid_temperature",
  "supply_pressure",
  "at",
  "upstream_drop",
  "downstream_drop",
  "bore",
  "ball_diameter",
  "flow_coefficient",
  "contraction",
  "recovery_factor",
  "dead_time",
  "opening_time",
  "closing_time",
] as const;
type PartnerField = (typeof partnerFields)[number];

/** A side without the time of its command. */
type Uncommanded = Omit<StartSide, "offset">;

/** What differs between two runs of one sample. */
export interface EngineMotion {
  readonly sense: Sense;
  /** Command of the partner after this valve's, over the declared one [s]. */
  readonly moreOffset?: number;
  /** Both valves stand from then on, after the start [s]. */
  readonly stopsAt?: number;
  /** A valve that does not move, or takes so many times as long. */
  readonly ownSlower?: number;
  readonly partnerSlower?: number;
  readonly standing?: "own" | "partner";
  /** A valve led at an even speed of its ball, in this time at least [s]. */
  readonly ownLed?: number;
  readonly partnerLed?: number;
  /** It never lights. */
  readonly unlit?: boolean;
}

/** An engine at the values of a sample, its valves as they move by themselves, nobody commanded yet. */
export interface EngineSample {
  readonly own: Uncommanded;
  readonly partner: Uncommanded;
  /** Opening of this valve at even angles. */
  readonly ownByAngle: Pick<OpeningTrace, "coefficient" | "recovery">;
  readonly chamber: Chamber;
  readonly delay: number;
  /** Command of the partner after this valve's, and in an abort; NaN where it is not known [s]. */
  readonly offset: number;
  readonly abortOffset: number;
}

export class StartEngine {
  readonly side: "oxidiser" | "fuel" | undefined;
  private readonly fields: Fields;
  private readonly ways: { readonly own: WaySlots; readonly partner: WaySlots };
  private readonly partner: Readonly<Record<PartnerField, Slot>>;
  private readonly chamber: Readonly<Record<"throat" | "volume" | "heatRatio" | "efficiency", Slot>>;
  private readonly ratio: readonly Slot[];
  private readonly velocity: readonly Slot[];
  private readonly delay: Slot;
  private readonly offsets: Readonly<Record<Sense | "abort", Slot>>;

  /**
   * @param gather takes the slots; what is missing is noted under "start", what a stop or an abort alone needs under "stop" and "abort", and the
   *               injectors' drops under their own paths
   */
  constructor(
    dossier: Dossier,
    private readonly plan: Plan,
    gather: Gatherer<string>,
  ) {
    const fields = dossier.valve.engine ?? {};
    this.fields = fields;
    this.side = fields.side;
    const need = gather.need.bind(gather, "start");
    const lack = (path: string) => gather.lack("start", path);
    if (fields.side === undefined) lack("engine.side");
    this.chamber = {
      throat: need("engine.throat_area", fields.throat_area),
      volume: need("engine.chamber_volume", fields.chamber_volume),
      heatRatio: need("engine.heat_ratio", fields.heat_ratio),
      efficiency: need("engine.efficiency", fields.efficiency),
    };
    const rows = fields.characteristic_velocity ?? [];
    const group = "engine.characteristic_velocity";
    rows.forEach(({ mixture_ratio, velocity }, j) => {
      if (mixture_ratio === undefined) lack(`${group}[${j}].mixture_ratio`);
      if (velocity === undefined) lack(`${group}[${j}].velocity`);
    });
    if (rows.length < 2) lack(group);
    this.ratio = rows.map((row, j) => gather.take(`${group}[${j}].mixture_ratio`, row.mixture_ratio, group));
    this.velocity = rows.map((row, j) => gather.take(`${group}[${j}].velocity`, row.velocity, group));
    if (fields.ignition?.condition === undefined) lack("engine.ignition.condition");
    this.delay = need("engine.ignition.delay", fields.ignition?.delay);
    this.offsets = {
      opening: need("engine.sequence.open_offset", fields.sequence?.open_offset),
      closing: gather.need("stop", "engine.sequence.close_offset", fields.sequence?.close_offset),
      abort: gather.need("abort", "engine.sequence.abort_offset", fields.sequence?.abort_offset),
    };
    this.ways = {
      own: gatherWay(gather, "engine.own", fields.own),
      partner: gatherWay(gather, "engine.partner", fields.partner),
    };
    if (fields.partner?.fluid === undefined) lack("engine.partner.fluid");
    const slots = partnerFields.map((name) => [name, need(`engine.partner.${name}`, fields.partner?.[name])]);
    this.partner = Object.fromEntries(slots) as Record<PartnerField, Slot>;
    if (plan.slots.ambientPressure < 0) lack("duty.ambient_pressure");
    for (const path of ["engine.ignition", "engine.sequence", "engine.partner"])
      if (isFaulty(dossier, path)) lack(path);
  }

  /** The partner's liquid. Refuses what does not enter its valve as liquid. */
  partnerLiquid(): LiquidFit {
    const { fluid, supply_pressure, fluid_temperature } = this.fields.partner ?? {};
    if (fluid === undefined || supply_pressure === undefined || fluid_temperature === undefined)
      throw new Error("the liquid of a partner that is not known was asked for");
    return liquidFit(fluid, supply_pressure, fluid_temperature);
  }

  /** The engine at the values of a sample, after `updateFlow`. @param own value of a slot of the engine's own fields */
  sampleOf(
    sample: ValveSample,
    own: (slot: Slot) => number,
    partnerLiquid: LiquidFit,
    sense: Sense,
    trace: OpeningTrace,
  ): EngineSample {
    const efficiency = own(this.chamber.efficiency);
    const byAngle = (column: Float64Array) =>
      sense === "opening" ? column.slice() : column.slice().reverse();
    return {
      own: this.ownSide(sample, own, trace),
      partner: this.partnerSide(own, partnerLiquid, sense),
      ownByAngle: { coefficient: byAngle(sample.coefficient), recovery: byAngle(sample.recovery) },
      chamber: {
        throat: own(this.chamber.throat) as Area,
        volume: own(this.chamber.volume) as Volume,
        heatRatio: own(this.chamber.heatRatio),
        velocity: {
          ratio: this.ratio.map(own),
          velocity: this.velocity.map((slot) => efficiency * own(slot)),
        },
        efficiency,
        ambient: sample.at(this.plan.slots.ambientPressure) as Pressure,
      },
      delay: own(this.delay),
      offset: own(this.offsets[sense]),
      abortOffset: own(this.offsets.abort),
    };
  }

  /** The engine of a sample as it is commanded. */
  commanded(sample: EngineSample, motion: EngineMotion): Engine {
    const { own, partner, ownByAngle } = sample;
    const [first, second] = commandsOf(sample, motion.moreOffset);
    const stops = motion.stopsAt === undefined ? {} : { stopsAt: motion.stopsAt };
    const led = motion.ownLed === undefined ? own.valve : ledTrace(own.valve, ownByAngle, motion.ownLed);
    const mine: StartSide = {
      ...own,
      ...stops,
      valve: changed(led, motion.ownSlower, motion.standing === "own"),
      offset: first as Time,
    };
    const other: StartSide = {
      ...partner,
      ...stops,
      valve: changed(
        motion.partnerLed === undefined
          ? partner.valve
          : ledTrace(partner.valve, partner.valve, motion.partnerLed),
        motion.partnerSlower,
        motion.standing === "partner",
      ),
      offset: second as Time,
    };
    const isOxidiser = this.side === "oxidiser";
    const condition = this.fields.ignition?.condition ?? "both at the injector";
    return {
      oxidiser: isOxidiser ? mine : other,
      fuel: isOxidiser ? other : mine,
      chamber: sample.chamber,
      ignition: { condition, delay: (motion.unlit ? Number.POSITIVE_INFINITY : sample.delay) as Time },
    };
  }

  private ownSide(sample: ValveSample, own: (slot: Slot) => number, valve: OpeningTrace): Uncommanded {
    const { plan } = this;
    const { medium, slots } = plan;
    const { liquid, system } = sample;
    if (medium.kind !== "liquid" || liquid === undefined || system === undefined)
      throw new Error("a start without liquid was asked for");
    const T = plan.space.nominal[slots.fluidTemperature] ?? Number.NaN;
    const lighter = medium.fit.density(T) / liquid.density;
    const resistance = (side: "upstream" | "downstream") =>
      (sample.at(slots[side].drop) / sample.at(slots[side].at) ** 2) * lighter;
    const way = this.ways.own;
    const at = sample.at(slots.downstream.at);
    const injector = (injectorDrop(way, own) / (at * at)) * lighter;
    const FF = criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure);
    return {
      tank: system.supplyPressure,
      pressurant: pressurantOf(way, own, sample.at(slots.upstream.at)),
      density: liquid.density,
      chokingPressure: (FF * liquid.vapourPressure) as Pressure,
      upstream: resistance("upstream"),
      passage: Math.max(resistance("downstream") - injector, 0),
      injector,
      volume: own(way.volume) as Volume,
      valve,
    };
  }

  private partnerSide(own: (slot: Slot) => number, fit: LiquidFit, sense: Sense): Uncommanded {
    const at = (name: PartnerField) => own(this.partner[name]);
    const way = this.ways.partner;
    const T = at("fluid_temperature");
    const density = fit.density(T);
    const lighter = fit.density(fit.temperature) / density;
    const vapour = fit.vapourPressure(T, at("supply_pressure"));
    const flow = at("at");
    const resistance = (drop: number) => (drop / (flow * flow)) * lighter;
    const injector = resistance(injectorDrop(way, own));
    return {
      tank: at("supply_pressure") as Pressure,
      pressurant: pressurantOf(way, own, flow),
      density: density as Density,
      chokingPressure: (criticalPressureRatioFactor(vapour, fit.criticalPressure) * vapour) as Pressure,
      upstream: resistance(at("upstream_drop")),
      passage: Math.max(resistance(at("downstream_drop")) - injector, 0),
      injector,
      volume: own(way.volume) as Volume,
      valve: this.partnerTrace(own, sense),
    };
  }

  /** Throat ratios of the last port, which most samples share. */
  private readonly port = { bore: Number.NaN, ball: Number.NaN, throat: new Float64Array(partnerPoints) };

  /** Throat over bore area of the partner from shut to open [-]. */
  private throatRatios(bore: number, ball: number): Float64Array {
    const { port } = this;
    if (port.bore === bore && port.ball === ball) return port.throat;
    port.bore = bore;
    port.ball = ball;
    const angles = Float64Array.from(
      { length: partnerPoints },
      (_, k) => (quarterTurn * k) / (partnerPoints - 1),
    );
    const radii = { ballRadius: (0.5 * ball) as Length, boreRadius: (0.5 * bore) as Length };
    throatRatiosOverAngles({ ...radii, travel: quarterTurn as Angle }, angles, port.throat);
    return port.throat;
  }

  /** A ball valve whose ball turns at an even speed: C from its port, as of the own valve without a measured one. */
  private partnerTrace(own: (slot: Slot) => number, sense: Sense): OpeningTrace {
    const at = (name: PartnerField) => own(this.partner[name]);
    const coefficient = new Float64Array(partnerPoints);
    geometricCoefficientsOverAngles(
      this.throatRatios(at("bore"), at("ball_diameter")),
      circleArea((0.5 * at("bore")) as Length),
      at("flow_coefficient"),
      at("contraction"),
      coefficient,
    );
    if (sense === "closing") coefficient.reverse();
    const start = at("dead_time");
    return {
      start,
      end: start + at(sense === "opening" ? "opening_time" : "closing_time"),
      coefficient,
      recovery: new Float64Array(partnerPoints).fill(at("recovery_factor")),
    };
  }

  /** What the start may not leave, as declared, as far as it is known. */
  get limits() {
    const { box, lead, largest_unburnt } = this.fields;
    return {
      leastRatio: box?.least?.value,
      mostRatio: box?.most?.value,
      leastLead: lead?.least?.value,
      mostLead: lead?.most?.value,
      unburnt: largest_unburnt?.value,
    };
  }
}

function gatherWay(gather: Gatherer<string>, path: string, way: Way | undefined): WaySlots {
  const kind = way?.tank?.kind;
  if (kind === undefined) gather.lack("start", `${path}.tank.kind`);
  const ofKind = (which: typeof kind, name: "droop" | "ullage" | "exponent") =>
    kind === which ? gather.need("start", `${path}.tank.${name}`, way?.tank?.[name]) : -1;
  return {
    kind,
    droop: ofKind("regulated", "droop"),
    ullage: ofKind("blowdown", "ullage"),
    exponent: ofKind("blowdown", "exponent"),
    volume: gather.need("start", `${path}.volume`, way?.volume),
    injector: gather.need(`${path}.injector_drop`, `${path}.injector_drop`, way?.injector_drop),
  };
}

/** Part of the drop behind the valve; where nobody gave it, only what holds however that is split may be told of a run. */
function injectorDrop({ injector }: WaySlots, own: (slot: Slot) => number): number {
  return injector < 0 ? 0 : own(injector);
}

function pressurantOf(way: WaySlots, own: (slot: Slot) => number, flow: number): Pressurant {
  return way.kind === "blowdown"
    ? { kind: "blowdown", ullage: own(way.ullage) as Volume, exponent: own(way.exponent) }
    : { kind: "regulated", droop: own(way.droop) / flow };
}

/** Commands of this valve and of the partner after the first of them [s]. @param more over the declared offset [s] */
export function commandsOf({ offset }: EngineSample, more = 0): readonly [number, number] {
  const all = offset + more;
  return [Math.max(-all, 0), Math.max(all, 0)];
}

/** What a motion ends at, over wide open, that counts as open: one that stalls is not led past where it stalls [-]. */
const opened = 0.99;

/** A ball led at an even speed: no quicker than it moves by itself, and only where it opens by itself. */
function ledTrace(
  by: OpeningTrace,
  { coefficient, recovery }: Pick<OpeningTrace, "coefficient" | "recovery">,
  time: number,
): OpeningTrace {
  const opens = (by.coefficient.at(-1) ?? 0) >= opened * (coefficient.at(-1) ?? 0);
  return opens && time > by.end - by.start
    ? { start: by.start, end: by.start + time, coefficient, recovery }
    : by;
}

/** A motion that takes so many times as long, or does not begin. */
function changed(trace: OpeningTrace, slower = 1, stands = false): OpeningTrace {
  const { start, end, coefficient } = trace;
  return {
    ...trace,
    end: start + slower * (end - start),
    coefficient: stands ? new Float64Array(coefficient.length).fill(coefficient[0] ?? 0) : coefficient,
  };
}
