/**
 * The line of a dossier as a network of pipes: its structure once, its numbers for every sample. What pipes and components
 * do not account for of a side's declared drop is lost at the tank, or at the end of the line.
 */
import { type Dossier, isFaulty } from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { criticalPressureRatioFactor, darcyFrictionFactor } from "../physics/flow/index.js";
import {
  type Fitting,
  type FreeGas,
  type LineNetwork,
  type LinePipe,
  type PipeWall,
  pipeResistance,
  unsteadyCoefficient,
  waveSpeed,
} from "../physics/line/index.js";
import {
  type Declared,
  type Density,
  type Length,
  type Pressure,
  type Speed,
  type Stress,
  standardGravity,
  type Temperature,
  type Volume,
} from "../quantity/index.js";
import {
  correlatedLiquid,
  fluid as fluidNamed,
  isFluidName,
  liquidAtPressureTemperature,
  viscosity,
} from "../substance/index.js";
import type { Gatherer, Slot } from "./gather.js";
import type { Plan } from "./plan.js";
import { gatherPipe, type PipeFields, type PlacedPipe, restraintOf, type Side } from "./surgePipe.js";
import { type Station, stationsOf } from "./surgeStation.js";
import type { ValveSample } from "./valveSample.js";

/** Where a pressure is held against a rating. */
export interface SurgePlace {
  readonly name: string;
  readonly kind: "pipe" | "component" | "valve";
  /** Field of its rating. */
  readonly path: string;
  readonly side: Side | undefined;
  /** What it may reach; undefined where nobody gave its rating [Pa, absolute]. */
  readonly allowed_Pa: number | undefined;
  /** Of a pipe its index in the network, of others junctions. */
  readonly pipe: number | undefined;
  readonly junctions: readonly number[];
}

interface PlacedLoss {
  readonly from: number;
  readonly to: number;
  readonly side: Side;
  readonly drops: readonly Slot[];
}

/** A network with what it stands for. */
export interface BuiltLine {
  readonly network: LineNetwork;
  /** Of the main line behind the last pipe, with what the pipes leave of the declared drop [Pa/(kg/s)^2]. */
  readonly endResistance: number;
  /** From the valve to the end, that included [Pa/(kg/s)^2]. */
  readonly behind: number;
  /** Where the line ends, at the level of its end [Pa, absolute]. */
  readonly backPressure: Pressure;
  /** Pipes and components lose more than declared: theirs was scaled to it. */
  readonly isScaled: boolean;
}

/** Reynolds number of a liquid whose viscosity is not on file: friction is that of its roughness [-]. */
const unknownReynolds = 1e6;
export class SurgeLine {
  readonly stations: readonly Station[];
  readonly places: readonly SurgePlace[];
  readonly pipes: readonly PlacedPipe[];
  readonly losses: readonly PlacedLoss[];
  private readonly cushions: ReadonlyMap<number, PlacedPipe>;
  private readonly junctions: number;
  readonly valve: { readonly from: number; readonly to: number };
  readonly end: number;
  private readonly freeGas: Slot;
  private readonly declaredSound: Slot;
  private readonly sound: ((T: number) => number) | undefined;
  private readonly viscosity: number | undefined;

  /**
   * @param gather takes the slots; what is missing is noted under "line"
   */
  constructor(
    private readonly dossier: Dossier,
    private readonly plan: Plan,
    gather: Gatherer<string>,
  ) {
    const line = dossier.valve.line ?? {};
    const lack = (path: string) => gather.lack("line", path);
    const all = line.pipes ?? [];
    const main = (side: Side) =>
      all.flatMap((fields, j) =>
        fields.side === side && fields.branches_after === undefined ? [{ fields, j }] : [],
      );
    for (const side of ["upstream", "downstream"] as const)
      if (main(side).length === 0) lack(`line.pipes: the pipes ${side} of the valve`);
    all.forEach(({ side }, j) => {
      if (side === undefined) lack(`line.pipes[${j}].side`);
      if (isFaulty(dossier, `line.pipes[${j}].branches_after`)) lack(`line.pipes[${j}].branches_after`);
    });
    const T = this.plan.medium.kind === "liquid" ? this.plan.medium.fit.temperature : undefined;
    const components = line.components ?? [];
    const dropSlots = components.map(({ drop }, j) => gather.may("line", `line.components[${j}].drop`, drop));
    let count = 1;
    const pipes: PlacedPipe[] = [];
    const losses: PlacedLoss[] = [];
    const places: SurgePlace[] = [];
    const endOf = new Map<string, number>();
    const valve = { from: 0, to: 0 };
    let at = 0;
    const add = (fields: PipeFields, j: number, side: Side, from: number, isBranch: boolean) => {
      const to = count++;
      const path = `line.pipes[${j}]`;
      pipes.push({
        fields,
        path,
        side,
        isBranch,
        from,
        to,
        slots: gatherPipe(dossier, gather, fields, path, T),
        rise: isBranch
          ? gather.may("line", `${path}.rise`, fields.rise)
          : (plan.slots.rises.find(({ pipe }) => pipe === j)?.at ?? -1),
      });
      if (fields.name !== undefined) endOf.set(fields.name, to);
      places.push({
        name: fields.name ?? `pipe ${j + 1}`,
        kind: "pipe",
        path: `${path}.rating`,
        side,
        allowed_Pa: this.allowed(fields.rating),
        pipe: pipes.length - 1,
        junctions: [],
      });
      return to;
    };
    for (const side of ["upstream", "downstream"] as const) {
      const own = main(side);
      own.forEach(({ fields, j }, k) => {
        at = add(fields, j, side, at, false);
        const standing = components.flatMap((component, c) =>
          component.after === fields.name && fields.name !== undefined ? [{ component, c }] : [],
        );
        for (const { component, c } of standing)
          places.push({
            name: component.name ?? `component ${c + 1}`,
            kind: "component",
            path: `line.components[${c}].rating`,
            side,
            allowed_Pa: this.allowed(component.rating),
            pipe: undefined,
            junctions: [at],
          });
        const drops = standing.flatMap(({ c }) => {
          const slot = dropSlots[c] ?? -1;
          return slot < 0 ? [] : [slot];
        });
        // Beside the valve and at the end of the line there is no pipe to part them: theirs is with the rest.
        if (drops.length > 0 && k < own.length - 1) {
          losses.push({ from: at, to: count, side, drops });
          at = count++;
        }
      });
      if (side === "upstream") {
        valve.from = at;
        valve.to = count++;
        at = valve.to;
      }
    }
    this.end = at;
    all.forEach((fields, j) => {
      if (fields.branches_after === undefined) return;
      const from = endOf.get(fields.branches_after);
      if (from === undefined) lack(`line.pipes[${j}].branches_after: the name of a pipe of the line`);
      else add(fields, j, fields.side ?? "upstream", from, true);
    });
    components.forEach(({ after }, j) => {
      if (after === undefined || !endOf.has(after)) lack(`line.components[${j}].after: the name of a pipe`);
    });
    const ends = dossier.valve.valve?.boundary?.ends ?? [];
    const ratings = ends.map(({ rating }) => this.allowed(rating) ?? Number.NaN);
    const weakest = Math.min(...ratings);
    places.push({
      name: "valve",
      kind: "valve",
      path: "valve.boundary.ends",
      side: undefined,
      allowed_Pa: ratings.length === 0 || Number.isNaN(weakest) ? undefined : weakest,
      pipe: undefined,
      junctions: [valve.from, valve.to],
    });
    this.pipes = pipes;
    this.stations = stationsOf(line, pipes);
    this.losses = losses;
    this.places = places;
    this.valve = valve;
    this.junctions = count;
    this.cushions = new Map(
      pipes.flatMap((pipe) => (pipe.fields.cushion === undefined ? [] : [[pipe.to, pipe]])),
    );
    this.freeGas = gather.may("line", "line.free_gas", line.free_gas);
    this.declaredSound = gather.may("line", "line.speed_of_sound", line.speed_of_sound);
    if (isFaulty(dossier, "line.rating_share")) lack("line.rating_share");
    const { sound, eta } = this.liquid();
    this.sound = sound;
    this.viscosity = eta;
    if (sound === undefined && this.declaredSound < 0) lack("line.speed_of_sound");
  }

  private allowed(rating: Declared | undefined): number | undefined {
    const share = this.dossier.valve.line?.rating_share?.value ?? 1;
    return rating === undefined ? undefined : rating.value * share;
  }

  /** Speed of sound against temperature as a quadratic through three states, and viscosity at the nominal one. */
  private liquid(): {
    readonly sound: ((T: number) => number) | undefined;
    readonly eta: number | undefined;
  } {
    const { medium, space, slots } = this.plan;
    if (medium.kind !== "liquid") return { sound: undefined, eta: undefined };
    const { fluid: name, temperature: T0 } = medium.fit;
    const p = (space.nominal[slots.supplyPressure] ?? Number.NaN) as Pressure;
    const attempt = (act: () => number) => {
      try {
        return act();
      } catch (thrown) {
        if (!(thrown instanceof Refusal)) throw thrown;
        return undefined;
      }
    };
    if (!isFluidName(name))
      return { sound: undefined, eta: attempt(() => correlatedLiquid(name)?.viscosity(T0) ?? Number.NaN) };
    const named = fluidNamed(name);
    const at = (T: number) => attempt(() => liquidAtPressureTemperature(named, p, T as Temperature).w);
    const middle = at(T0);
    const low = at(T0 - soundReach);
    const eta = attempt(() => viscosity(named, T0, liquidAtPressureTemperature(named, p, T0).rho));
    if (middle === undefined) return { sound: undefined, eta };
    const slope = low === undefined ? 0 : (middle - low) / soundReach;
    return { sound: (T) => middle + slope * (T - T0), eta };
  }

  /**
   * The network at the values of a sample, after `updateFlow`.
   * @param own         value of a slot of the line's own fields
   * @param isUnsteady  with unsteady friction, which damps what comes after the first rise
   * @param unlit       what stands at the end of the line, at its level, while nothing burns there [Pa, absolute]
   */
  build(
    sample: ValveSample,
    own: (slot: Slot) => number,
    isUnsteady: boolean,
    unlit?: number,
  ): BuiltLine | undefined {
    const { liquid } = sample;
    const system = unlit === undefined ? sample.system : sample.runningSystem;
    if (system === undefined || liquid === undefined) return undefined;
    const rho = liquid.density;
    const T = sample.at(this.plan.slots.fluidTemperature);
    const c = this.declaredSound < 0 ? (this.sound?.(T) ?? Number.NaN) : own(this.declaredSound);
    const supply = system.supplyPressure;
    const gas: FreeGas | undefined =
      this.freeGas < 0 ? undefined : { share: own(this.freeGas), pressure: supply, exponent: isothermal };
    const flow = Math.abs(sample.massFlow.at(-1) ?? 0);
    const plain = this.pipes.map((pipe): LinePipe => {
      const { slots, fields, from, to } = pipe;
      const bore = own(slots.bore) as Length;
      const wall: PipeWall = {
        bore,
        thickness: own(slots.wall) as Length,
        modulus: own(slots.modulus) as Stress,
        poissonRatio: own(slots.poisson),
        restraint: restraintOf(fields.restraint),
      };
      const Re =
        this.viscosity === undefined || pipe.isBranch || !(flow > 0)
          ? unknownReynolds
          : (4 * flow) / (Math.PI * bore * this.viscosity);
      return {
        from,
        to,
        length: own(slots.length) as Length,
        bore,
        waveSpeed: waveSpeed(rho, c as Speed, wall, gas),
        frictionFactor: darcyFrictionFactor(Re, own(slots.roughness) / bore),
        unsteady: isUnsteady ? unsteadyCoefficient(Re) : 0,
      };
    });
    const onWay = (side: Side) =>
      this.pipes.flatMap((pipe, i) => (pipe.side === side && !pipe.isBranch ? [plain[i] as LinePipe] : []));
    const lossOf = ({ drops, side }: PlacedLoss) => {
      const at = sample.at(this.plan.slots[side].at);
      return drops.reduce((sum, slot) => sum + own(slot), 0) / (at * at);
    };
    const shares = { upstream: 1, downstream: 1 };
    const rest = { upstream: 0, downstream: 0 };
    for (const side of ["upstream", "downstream"] as const) {
      const named =
        onWay(side).reduce((sum, pipe) => sum + pipeResistance(pipe, rho as Density), 0) +
        this.losses.filter((loss) => loss.side === side).reduce((sum, loss) => sum + lossOf(loss), 0);
      const whole = system[side];
      shares[side] = named > whole ? whole / named : 1;
      rest[side] = Math.max(whole - named, 0);
    }
    const heights = this.heights(sample, own);
    // The system's pressures count at the level of the valve; those of tank and end at their own.
    const atOwnLevel = (pressure: number, j: number) =>
      (pressure - rho * standardGravity.value * (heights[j] ?? 0)) as Pressure;
    const backPressure =
      unlit === undefined ? atOwnLevel(system.backPressure, this.end) : (unlit as Pressure);
    const fittings = Array.from({ length: this.junctions }, (_, j): Fitting => {
      if (j === 0) return { kind: "pressure", pressure: atOwnLevel(supply, 0), resistance: rest.upstream };
      if (j === this.end) return { kind: "pressure", pressure: backPressure, resistance: rest.downstream };
      const cushion = this.cushions.get(j);
      if (cushion === undefined) return { kind: "none" };
      return {
        kind: "accumulator",
        gasVolume: own(cushion.slots.cushionVolume) as Volume,
        exponent: own(cushion.slots.cushionExponent),
        resistance: 0,
      };
    });
    const FF = criticalPressureRatioFactor(liquid.vapourPressure, liquid.criticalPressure);
    return {
      network: {
        pipes: plain.map((pipe, i) => ({
          ...pipe,
          frictionFactor: pipe.frictionFactor * shares[this.pipes[i]?.side ?? "upstream"],
        })),
        fittings,
        losses: this.losses.map((loss) => ({
          from: loss.from,
          to: loss.to,
          resistance: lossOf(loss) * shares[loss.side],
        })),
        valve: this.valve,
        liquid: {
          density: rho,
          vapourPressure: liquid.vapourPressure,
          chokingPressure: (FF * liquid.vapourPressure) as Pressure,
        },
        heights,
      },
      backPressure,
      endResistance: rest.downstream,
      behind: system.downstream,
      isScaled: shares.upstream < 1 || shares.downstream < 1,
    };
  }

  /** Height of each junction over the valve [m]. */
  private heights(sample: ValveSample, own: (slot: Slot) => number): readonly number[] {
    const heights = new Array<number>(this.junctions).fill(Number.NaN);
    heights[0] = 0;
    // What has no length of its own keeps the level: the pipes follow each other, branches last.
    const level = [...this.losses, this.valve];
    for (const { from, to, rise, isBranch } of this.pipes) {
      const before = level.find((one) => one.to === from);
      if (Number.isNaN(heights[from])) heights[from] = heights[before?.from ?? 0] ?? 0;
      const up = rise < 0 ? 0 : isBranch ? own(rise) : sample.at(rise);
      heights[to] = (heights[from] ?? 0) + up;
    }
    const ofValve = heights[this.valve.from] ?? 0;
    return heights.map((height) => height - ofValve);
  }

  /** A gas cushion stands somewhere. */
  get hasCushion(): boolean {
    return this.cushions.size > 0;
  }

  /** Pipes of the main line on one side, in order, by their index. */
  mainPipes(side: Side): readonly number[] {
    return this.pipes.flatMap((pipe, i) => (pipe.side === side && !pipe.isBranch ? [i] : []));
  }
}

/** Bubbles keep the temperature of the liquid around them [-]. */
const isothermal = 1;
/** Over this the slope of the speed of sound is taken [K]. */
const soundReach = 0.5;
