/**
 * The valve at one vector of values: flow, turning torque and rigid train over a grid of openings.
 * One object is reused for every sample of a band; it allocates nothing that grows with the sample.
 *
 * Here the matters of physics are wired together: the installed flow gives the drop at each opening,
 * the drop loads seats and stem, their torque loads the train.
 */
import { referenceTemperatures } from "../dossier/index.js";
import {
  backEfficiency,
  type GearStage,
  torqueConstantAt,
  windingResistance,
} from "../physics/drive/index.js";
import {
  circleArea,
  coefficientsOverAngles,
  geometricCoefficientsOverAngles,
  type InherentCharacteristic,
  type InstalledSystem,
  installedFlowOverAngles,
  type Liquid,
  tableCharacteristic,
  throatRatiosOverAngles,
  withRisingBackPressure,
} from "../physics/flow/index.js";
import { type AngleLoad, angleLoad, type RigidTrain, StrokeBuffers } from "../physics/motion/index.js";
import {
  breakawayRatioOf,
  type TurningInputs,
  turningTerms,
  turningTorqueOverAngles,
} from "../physics/seat/index.js";
import {
  type Angle,
  type AngularDamping,
  type FlowCoefficient,
  type Inertia,
  type Length,
  type Pressure,
  type Resistance,
  standardGravity,
  type Temperature,
  type Torque,
  type TorqueConstant,
} from "../quantity/index.js";
import { coldShare, ratioAt } from "./coldRatio.js";
import { driverValues, type LoadValues, motorValues, supplyValues, trainOf } from "./driveParts.js";
import type { Plan } from "./plan.js";
import { fillFromTable, tableAt } from "./table.js";
import { ThroatRatios } from "./throatRatios.js";
import { stribeckSpeedOf, turningInputsOf } from "./turningInputs.js";

/** Openings at which flow and torque are evaluated: every 1.5 degrees of a quarter turn. */
export const openings = 61;

const grid = (): Float64Array => new Float64Array(openings);

export class ValveSample {
  readonly values: Float64Array;
  /** Openings from closed [rad]. */
  readonly angles = grid();
  /** Flow coefficient [m2] and recovery factor [-] at each opening. */
  readonly coefficient = grid();
  readonly recovery = grid();
  /** Mass flow [kg/s], drop across the valve [Pa], pressure ahead of it [Pa, absolute], choked or not. */
  readonly massFlow = grid();
  readonly drop = grid();
  readonly inlet = grid();
  readonly choked = new Uint8Array(openings);
  /** Running friction, friction at rest without dwell, fluid torque towards closed [N m]. */
  readonly running = grid();
  readonly breakaway = grid();
  readonly fluidTorque = grid();
  /** For the strokes of this sample, one after the other. */
  readonly strokeBuffers = new StrokeBuffers();
  private readonly bodyGauge = grid();
  private readonly torqueCoefficient = grid();
  private readonly excess = grid();
  private readonly throat: ThroatRatios;
  private readonly one = {
    angle: new Float64Array(1),
    coefficient: new Float64Array(1),
    recovery: new Float64Array(1),
    throat: new Float64Array(1),
  };
  /** Characteristic of this sample, where one was measured. */
  private measured: InherentCharacteristic | undefined;
  private load: AngleLoad | undefined;
  private inputs: TurningInputs | undefined;
  private liquidNow: Liquid | undefined;
  private systemNow: InstalledSystem | undefined;

  constructor(readonly plan: Plan) {
    const { nominal } = plan.space;
    this.values = Float64Array.from(nominal);
    const nominalAt = (slot: number) => nominal[slot] ?? Number.NaN;
    this.throat = new ThroatRatios(nominalAt(plan.slots.ballDiameter) / nominalAt(plan.slots.bore), openings);
  }

  /** Value of a slot, SI; NaN where it is not known. */
  at(slot: number): number {
    return slot < 0 ? Number.NaN : (this.values[slot] ?? Number.NaN);
  }

  /** The liquid of this sample, if one flows. */
  get liquid(): Liquid | undefined {
    return this.liquidNow;
  }

  get system(): InstalledSystem | undefined {
    return this.systemNow;
  }

  /** What the turning torque is made of; after `updateTorque`. */
  get turning(): TurningInputs | undefined {
    return this.inputs;
  }

  /** Flow over the openings. Needs the matter `flow`. */
  updateFlow(): void {
    const { plan } = this;
    const { slots, medium } = plan;
    const travel = this.at(slots.travel);
    for (let j = 0; j < openings; j++) this.angles[j] = (travel * j) / (openings - 1);
    const supply = this.at(slots.supplyPressure);
    const back = this.at(slots.backPressure);
    if (medium.kind === "liquid") {
      this.fillCoefficients(travel);
      const T = this.at(slots.fluidTemperature);
      const liquid: Liquid = {
        density: medium.fit.density(T),
        vapourPressure: medium.fit.vapourPressure(T, supply),
        criticalPressure: medium.fit.criticalPressure,
      };
      this.liquidNow = liquid;
      fillFromTable(this.angles, slots.recovery, this.values, this.recovery);
      const weight = liquid.density * standardGravity.value;
      const headBehind = weight * this.rise("downstream");
      const level = slots.liquidLevel < 0 ? 0 : this.at(slots.liquidLevel);
      // Both pressures as they count at the level of the valve.
      const steady: InstalledSystem = {
        supplyPressure: (supply + weight * (level - this.rise("upstream"))) as Pressure,
        backPressure: (back + headBehind) as Pressure,
        upstream: this.lineResistance(slots.upstream, medium.fit.density, liquid.density),
        downstream: this.lineResistance(slots.downstream, medium.fit.density, liquid.density),
        liquid,
        outlet: "flowing",
      };
      const system =
        slots.backPressureAtStart < 0
          ? steady
          : withRisingBackPressure(
              steady,
              (this.at(slots.backPressureAtStart) + headBehind) as Pressure,
              (this.coefficient[openings - 1] ?? 0) as FlowCoefficient,
              this.recovery[openings - 1] ?? 1,
            );
      this.systemNow = system;
      installedFlowOverAngles(
        system,
        this.coefficient,
        this.recovery,
        this.massFlow,
        this.drop,
        this.inlet,
        this.choked,
      );
      return;
    }
    // Nothing flows: the whole difference while the port is shut, none once it is open.
    const opens = this.firstOpening(travel);
    const shut = slots.backPressureAtStart < 0 ? back : this.at(slots.backPressureAtStart);
    for (let j = 0; j < openings; j++) {
      const share = 1 - ((this.angles[j] ?? 0) - opens) / this.at(slots.equalisingAngle);
      this.massFlow[j] = 0;
      this.choked[j] = 0;
      this.drop[j] = medium.kind === "dead-ended" ? (supply - shut) * Math.min(Math.max(share, 0), 1) : 0;
      this.inlet[j] = medium.kind === "dead-ended" ? supply : this.at(slots.ambientPressure);
    }
  }

  /** From the start of a side to its end [m]. */
  private rise(side: "upstream" | "downstream"): number {
    let sum = 0;
    for (const rise of this.plan.slots.rises) if (rise.side === side) sum += this.at(rise.at);
    return sum;
  }

  /** Opening at which the port begins to pass fluid: of the table, or where the bores first overlap [rad]. */
  private firstOpening(travel: number): number {
    const { slots } = this.plan;
    const first = slots.characteristic.angles[0];
    if (first !== undefined && slots.characteristic.angles.length >= 2) return this.at(first);
    return Math.max(
      travel - 2 * Math.asin(Math.min(this.at(slots.bore) / this.at(slots.ballDiameter), 1)),
      0,
    );
  }

  /** Turning torque over the openings; after `updateFlow`. Needs the matter `torque`. */
  updateTorque(): void {
    const { slots } = this.plan;
    const ambient = this.at(slots.ambientPressure);
    for (let j = 0; j < openings; j++) this.bodyGauge[j] = (this.inlet[j] ?? 0) - ambient;
    fillFromTable(this.angles, slots.hydrodynamic, this.values, this.torqueCoefficient);
    this.inputs = turningInputsOf(this.plan, this.values);
    turningTorqueOverAngles(this.inputs, this.drop, this.bodyGauge, this.torqueCoefficient, {
      running: this.running,
      breakaway: this.breakaway,
      hydrodynamic: this.fluidTorque,
    });
  }

  /** Gauge pressure in the body at an opening of the grid [Pa]. */
  bodyGaugeAt(index: number): number {
    return this.bodyGauge[index] ?? 0;
  }

  /** What standing adds to the friction at rest at an opening of the grid [N m]. */
  dwellTorqueAt(index: number): Torque {
    const inputs = this.inputs;
    if (inputs === undefined) return 0 as Torque;
    let torque = 0;
    for (const term of turningTerms) {
      if (!term.breakaway.dwell) continue;
      const load = term.load(inputs);
      const running =
        load.constant +
        load.perDrop * Math.abs(this.drop[index] ?? 0) +
        load.perBodyPressure * Math.max(this.bodyGaugeAt(index), 0);
      torque += running * breakawayRatioOf(inputs, term) * (inputs.dwellFactor - 1);
    }
    return torque as Torque;
  }

  /** Gear stages at the gearbox's temperature, from motor to stem. */
  stages(): readonly GearStage[] {
    const { slots } = this.plan;
    const cold = coldShare(this.at(slots.gearboxTemperature), referenceTemperatures.gearbox_cold_K);
    return slots.stages.map((stage) => {
      const efficiency = this.at(stage.efficiency);
      return {
        ratio: this.at(stage.ratio),
        efficiency,
        startingEfficiency:
          stage.startingEfficiency < 0 ? efficiency : Math.min(this.at(stage.startingEfficiency), efficiency),
        backEfficiency: stage.backEfficiency < 0 ? backEfficiency(efficiency) : this.at(stage.backEfficiency),
        noLoadTorque: (this.at(stage.noLoadTorque) * ratioAt(this.at(stage.noLoadColdRatio), cold)) as Torque,
        inertia: this.at(stage.inertia) as Inertia,
      };
    });
  }

  windingResistance(): Resistance {
    const { slots } = this.plan;
    return windingResistance(
      this.at(slots.windingResistance) as Resistance,
      this.at(slots.motorTemperature) as Temperature,
    );
  }

  torqueConstant(): TorqueConstant {
    const { slots } = this.plan;
    return torqueConstantAt(
      this.at(slots.torqueConstant) as TorqueConstant,
      this.at(slots.torqueConstantDrift),
      this.at(slots.motorTemperature) as Temperature,
    );
  }

  supplyResistance(): Resistance {
    const { slots } = this.plan;
    return (this.at(slots.batteryResistance) + this.at(slots.cableResistance)) as Resistance;
  }

  /** What the valve brings to the train; after `updateTorque`. Needs the matter `motion`. */
  loadValues(): LoadValues {
    const { slots } = this.plan;
    const at = (slot: number) => this.at(slot);
    const travel = at(slots.travel) as Angle;
    for (let j = 0; j < openings; j++) this.excess[j] = (this.breakaway[j] ?? 0) - (this.running[j] ?? 0);
    this.load = angleLoad(travel, this.running, this.excess, this.fluidTorque, this.load);
    return {
      inertia: at(slots.inertia) as Inertia,
      damping: at(slots.damping) as AngularDamping,
      stribeckSpeed: stribeckSpeedOf(this.plan, this.values),
      dwellTorque: this.dwellTorqueAt(0),
      travel,
      restitution: at(slots.stopRestitution),
      load: this.load,
    };
  }

  /** The rigid train; after `updateTorque`. Needs the matter `motion`. */
  train(): RigidTrain {
    return trainOf(this.loadValues(), {
      motor: motorValues(this),
      stages: this.stages(),
      supply: supplyValues(this),
      driver: driverValues(this),
    });
  }

  private lineResistance(
    side: { readonly drop: number; readonly at: number },
    densityAt: (T: number) => number,
    density: number,
  ): InstalledSystem["upstream"] {
    const flow = this.at(side.at);
    const nominal = densityAt(this.plan.space.nominal[this.plan.slots.fluidTemperature] ?? Number.NaN);
    return ((this.at(side.drop) / (flow * flow)) * (nominal / density)) as InstalledSystem["upstream"];
  }

  /** Flow coefficient [m2] and recovery factor [-] at any opening, each in a buffer of one that the next call uses again. */
  openingAt(angle: number): { readonly coefficient: Float64Array; readonly recovery: Float64Array } {
    const { slots } = this.plan;
    const { one } = this;
    one.angle[0] = angle;
    one.recovery[0] = tableAt(angle, slots.recovery, this.values);
    if (this.measured !== undefined) {
      coefficientsOverAngles(this.measured, one.angle, one.coefficient);
      return one;
    }
    const ballRadius = (0.5 * this.at(slots.ballDiameter)) as Length;
    const boreRadius = (0.5 * this.at(slots.bore)) as Length;
    const travel = this.at(slots.travel) as Angle;
    throatRatiosOverAngles({ ballRadius, boreRadius, travel }, one.angle, one.throat);
    geometricCoefficientsOverAngles(
      one.throat,
      circleArea(boreRadius),
      this.at(slots.flowCoefficient),
      this.at(slots.contraction),
      one.coefficient,
    );
    return one;
  }

  private fillCoefficients(travel: number): void {
    const { slots } = this.plan;
    const wideOpen = this.at(slots.flowCoefficient);
    const table = slots.characteristic;
    if (table.angles.length >= 2) {
      const points = table.angles.map((angle, j) => ({
        angle: this.at(angle) as Angle,
        coefficient: this.at(table.values[j] ?? -1) as FlowCoefficient,
      }));
      this.measured = tableCharacteristic(points);
      coefficientsOverAngles(this.measured, this.angles, this.coefficient);
      return;
    }
    const boreRadius = (0.5 * this.at(slots.bore)) as Length;
    geometricCoefficientsOverAngles(
      this.throat.ratiosAt(this.at(slots.ballDiameter) / this.at(slots.bore), travel, this.angles),
      circleArea(boreRadius),
      wideOpen,
      this.at(slots.contraction),
      this.coefficient,
    );
  }
}
