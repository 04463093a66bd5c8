/**
 * What an answer about one valve in one set of conditions rests on: the slots of all its values, and
 * for each matter the fields nobody gave. Made once per dossier and case; every sample of a band reuses it.
 */
import {
  type Conditions,
  conditionsOf,
  type Dossier,
  isFaulty,
  type MarginRules,
  marginRules,
  referenceTemperatures,
  type ValveFile,
} from "../dossier/index.js";
import type { Notice } from "../fault/index.js";
import { windingLawRange } from "../physics/drive/index.js";
import { firstOpeningAngle } from "../physics/flow/index.js";
import type { ProfileKind } from "../physics/motion/index.js";
import type { Declared, Length } from "../quantity/index.js";
import { driveTemperatureNotices } from "./driveTemperatureNotices.js";
import { Gatherer, type Slot } from "./gather.js";
import type { InputSpace } from "./inputs.js";
import { type LiquidFit, liquidFit } from "./liquidFit.js";

/** What can be asked of a plan, each with its own needs. */
export const matters = ["flow", "torque", "drive", "motion", "profile", "heat"] as const;
export type Matter = (typeof matters)[number];

/** A line drop: its slots and the density at which it was found. */
export interface LineSlots {
  readonly drop: Slot;
  readonly at: Slot;
}

/** Rise of a pipe of the line itself. */
export interface RiseSlot {
  /** Index in line.pipes. */
  readonly pipe: number;
  readonly side: "upstream" | "downstream";
  readonly at: Slot;
}

export interface StageSlots {
  readonly ratio: Slot;
  readonly efficiency: Slot;
  readonly startingEfficiency: Slot;
  readonly backEfficiency: Slot;
  readonly noLoadTorque: Slot;
  readonly noLoadColdRatio: Slot;
  readonly inertia: Slot;
  readonly backlash: Slot;
}

export interface TableSlots {
  readonly angles: readonly Slot[];
  readonly values: readonly Slot[];
}

/** Slots of everything the model reads, -1 where not known. */
export type Slots = ReturnType<typeof gatherSlots>;

export interface Plan {
  readonly dossier: Dossier;
  readonly caseId: string;
  readonly space: InputSpace;
  readonly slots: Slots;
  readonly medium: Medium;
  readonly support: "floating" | "trunnion";
  /** Seats of a trunnion ball that pressure pushes on the ball. */
  readonly pressurisedSeats: 1 | 2;
  readonly command: "full" | ProfileKind;
  readonly rules: MarginRules;
  /** Fields without which a matter is not known; empty where it can be answered. */
  readonly missing: Readonly<Record<Matter, readonly string[]>>;
  readonly notices: readonly Notice[];
}

/** What is in the valve: nothing that matters, a fluid held behind a blocked outlet, or a flowing liquid. */
export type Medium =
  | { readonly kind: "none" }
  | { readonly kind: "dead-ended" }
  | { readonly kind: "liquid"; readonly fit: LiquidFit }
  | { readonly kind: "unknown" };

/**
 * Plans the answers about a valve.
 * @param dossier with its defaults applied;  @param caseId `duty` or the id of a case
 * Refuses an unknown case, a fluid that is no liquid at the inlet, and a bore that its ball cannot shut.
 */
export function planFor(dossier: Dossier, caseId: string): Plan {
  const file = dossier.valve;
  const conditions = conditionsOf(dossier, caseId);
  const at =
    caseId === "duty" ? "duty" : `cases[${(file.cases ?? []).findIndex((row) => row.id === caseId)}]`;
  const gather = new Gatherer<Matter>((path) => isFaulty(dossier, path));
  const notices: Notice[] = [];
  const slots = gatherSlots(gather, file, conditions, at);
  const medium = mediumOf(gather, conditions, at, notices);
  if (medium.kind === "liquid") {
    needLine(gather, slots, at);
    refusePortThatNeverShuts(file);
  }
  noteRanges(gather, slots, notices);
  notices.push(...driveTemperatureNotices(conditions, at));
  const correlations = (file.correlations ?? []).flatMap(({ first, second, rank }, j) => {
    if (first !== undefined && second !== undefined && rank !== undefined)
      return [{ first, second, rank: rank.value }];
    // Unlinked they would make another band, of every figure that rests on both.
    for (const name of ["first", "second", "rank"]) gather.lackFaulty("flow", `correlations[${j}].${name}`);
    return [];
  });
  gather.lackFaulty("flow", "correlations");
  if (file.valve?.support === undefined) gather.lack("torque", "valve.support");
  if (file.drive?.command?.kind === undefined) gather.lack("motion", "drive.command.kind");
  const torque = gather.missingFor("flow", "torque");
  const motion = gather.missingFor("flow", "torque", "drive", "motion");
  const command = file.drive?.command?.kind ?? "full";
  return {
    dossier,
    caseId,
    space: gather.space(correlations, notices),
    slots,
    medium,
    support: file.valve?.support ?? "floating",
    pressurisedSeats: file.valve?.seat?.pressure_effect === "double piston" ? 2 : 1,
    command,
    rules: marginRules(file.duty?.margin_phase),
    missing: {
      flow: gather.missingFor("flow"),
      torque,
      drive: gather.missingFor("drive"),
      motion: [...motion, ...(command === "full" ? [] : gather.missingFor("profile"))],
      profile: gather.missingFor("profile"),
      heat: [...motion, ...gather.missingFor("heat")],
    },
    notices,
  };
}

/** Whether a matter can be answered. */
export function isAnswerable(plan: Plan, matter: Matter): boolean {
  return plan.missing[matter].length === 0;
}

/** Rises of the pipes of the line itself: they put the weight of the liquid into the flow. A level pipe has none. */
function riseSlots(gather: Gatherer<Matter>, { line }: ValveFile): readonly RiseSlot[] {
  return (line?.pipes ?? []).flatMap(({ rise, side, branches_after: leaves }, pipe) => {
    if (leaves !== undefined) return [];
    const at = gather.may("flow", `line.pipes[${pipe}].rise`, rise);
    if (at < 0) return [];
    if (side !== undefined) return [{ pipe, side, at }];
    gather.lack("flow", `line.pipes[${pipe}].side`);
    return [];
  });
}

function gatherSlots(gather: Gatherer<Matter>, file: ValveFile, conditions: Conditions, at: string) {
  const { duty, valve, drive } = file;
  const isTrunnion = valve?.support === "trunnion";
  const isDry = conditions.fluid === "none";
  // Flow follows from the port where no characteristic was measured.
  const needsPort = !isDry && (valve?.characteristic?.length ?? 0) < 2;
  const condition = (
    matter: Matter,
    name: "valve_temperature" | "motor_temperature" | "gearbox_temperature",
  ) => gather.need(matter, `${at}.${name}`, conditions[name]);
  const pressure = (name: "supply_pressure" | "back_pressure") =>
    isDry ? -1 : gather.need("flow", `${at}.${name}`, conditions[name]);
  const caseVoltage =
    "open_circuit_voltage" in conditions
      ? (conditions.open_circuit_voltage as Declared | undefined)
      : undefined;
  const line =
    at === "duty" ? file.line : "line" in conditions ? (conditions.line as ValveFile["line"]) : undefined;
  const lineAt = at === "duty" ? "line" : `${at}.line`;
  const seat = valve?.seat;
  const packing = valve?.packing;
  gather.lackFaulty("torque", "valve.packing.torque");
  const packingNeeds =
    packing?.torque === undefined && !gather.missingFor("torque").includes("valve.packing.torque");
  // The growth follows from the dwell; with a fault there, that is what is to be mended.
  const before = gather.missingFor("torque").length;
  if (seat?.dwell_ratio === undefined) gather.lackFaulty("torque", `${at}.dwell`);
  const isDwellFaulty = gather.missingFor("torque").length > before;
  const motor = drive?.motor;
  const stages = drive?.stages;
  if (stages === undefined) gather.lack("drive", "drive.stages");
  if (isTrunnion && seat?.pressure_effect === undefined)
    gather.lackFaulty("torque", "valve.seat.pressure_effect");
  if (!isDry && valve?.characteristic === undefined) gather.lackFaulty("flow", "valve.characteristic");
  if (!isDry && valve?.hydrodynamic?.curve === undefined)
    gather.lackFaulty("torque", "valve.hydrodynamic.curve");
  if (at !== "duty" && caseVoltage === undefined) gather.lackFaulty("drive", `${at}.open_circuit_voltage`);
  return {
    supplyPressure: pressure("supply_pressure"),
    backPressure: pressure("back_pressure"),
    backPressureAtStart: isDry
      ? -1
      : gather.may("flow", `${at}.back_pressure_at_start`, conditions.back_pressure_at_start),
    fluidTemperature: isDry ? -1 : gather.take(`${at}.fluid_temperature`, conditions.fluid_temperature),
    ambientPressure: gather.need("torque", "duty.ambient_pressure", duty?.ambient_pressure),
    valveTemperature: condition("torque", "valve_temperature"),
    motorTemperature: condition("drive", "motor_temperature"),
    gearboxTemperature: condition("drive", "gearbox_temperature"),
    dwell: gather.take(`${at}.dwell`, conditions.dwell),
    massFlow: gather.take("duty.mass_flow", duty?.mass_flow),
    upstream: {
      drop: gather.take(`${lineAt}.upstream.drop`, line?.upstream?.drop),
      at: gather.take(`${lineAt}.upstream.at`, line?.upstream?.at),
    } satisfies LineSlots,
    downstream: {
      drop: gather.take(`${lineAt}.downstream.drop`, line?.downstream?.drop),
      at: gather.take(`${lineAt}.downstream.at`, line?.downstream?.at),
    } satisfies LineSlots,
    liquidLevel: isDry ? -1 : gather.may("flow", "line.liquid_level", file.line?.liquid_level),
    rises: isDry ? [] : riseSlots(gather, file),
    bore: gather.need(isDry ? "torque" : "flow", "valve.bore", valve?.bore),
    ballDiameter: gather.need(needsPort ? "flow" : "torque", "valve.ball_diameter", valve?.ball_diameter),
    seatContactDiameter: gather.need("torque", "valve.seat_contact_diameter", valve?.seat_contact_diameter),
    travel: gather.need("flow", "valve.travel", valve?.travel),
    flowCoefficient: isDry ? -1 : gather.take("valve.flow_coefficient", valve?.flow_coefficient),
    contraction: isDry ? -1 : gather.take("valve.contraction", valve?.contraction),
    characteristic: tableSlots(gather, "valve.characteristic", valve?.characteristic, "flow_coefficient"),
    recovery: tableSlots(gather, "valve.recovery", valve?.recovery, "factor"),
    equalisingAngle:
      conditions.outlet === "dead-ended" && !isDry
        ? gather.need("flow", "valve.equalising_angle", valve?.equalising_angle)
        : -1,
    cavitationOnset: gather.take("valve.cavitation_onset", valve?.cavitation_onset),
    seatFriction: gather.need("torque", "valve.seat.friction", seat?.friction),
    seatFrictionColdRatio: gather.need("torque", "valve.seat.friction_cold_ratio", seat?.friction_cold_ratio),
    seatPreload: gather.need("torque", "valve.seat.preload", seat?.preload),
    seatPreloadColdRatio: gather.need("torque", "valve.seat.preload_cold_ratio", seat?.preload_cold_ratio),
    breakawayRatio: gather.need("torque", "valve.seat.breakaway_ratio", seat?.breakaway_ratio),
    dwellRatio: isDwellFaulty
      ? gather.take("valve.seat.dwell_ratio", seat?.dwell_ratio)
      : gather.need("torque", "valve.seat.dwell_ratio", seat?.dwell_ratio),
    stribeckSpeed: gather.need("torque", "valve.seat.stribeck_speed", seat?.stribeck_speed),
    sealDiameter: isTrunnion ? gather.need("torque", "valve.seat.seal_diameter", seat?.seal_diameter) : -1,
    packingTorque: gather.take("valve.packing.torque", packing?.torque),
    packingFriction: packingNeeds ? gather.need("torque", "valve.packing.friction", packing?.friction) : -1,
    packingHeight: packingNeeds ? gather.need("torque", "valve.packing.height", packing?.height) : -1,
    packingStress: packingNeeds
      ? gather.need("torque", "valve.packing.radial_stress", packing?.radial_stress)
      : -1,
    packingBreakaway: gather.may("torque", "valve.packing.breakaway_ratio", packing?.breakaway_ratio),
    packingColdRatio: gather.need("torque", "valve.packing.cold_ratio", packing?.cold_ratio),
    stemDiameter: gather.need("torque", "valve.stem.diameter", valve?.stem?.diameter),
    collarOuter: gather.need(
      "torque",
      "valve.stem.collar_outer_diameter",
      valve?.stem?.collar_outer_diameter,
    ),
    collarInner: gather.need(
      "torque",
      "valve.stem.collar_inner_diameter",
      valve?.stem?.collar_inner_diameter,
    ),
    collarFriction: gather.need("torque", "valve.stem.collar_friction", valve?.stem?.collar_friction),
    collarBreakaway: gather.may(
      "torque",
      "valve.stem.collar_breakaway_ratio",
      valve?.stem?.collar_breakaway_ratio,
    ),
    collarColdRatio: gather.need("torque", "valve.stem.collar_cold_ratio", valve?.stem?.collar_cold_ratio),
    bearingBreakaway: isTrunnion
      ? gather.may("torque", "valve.bearing.breakaway_ratio", valve?.bearing?.breakaway_ratio)
      : -1,
    bearingColdRatio: isTrunnion
      ? gather.need("torque", "valve.bearing.cold_ratio", valve?.bearing?.cold_ratio)
      : -1,
    bearingDiameter: isTrunnion
      ? gather.need("torque", "valve.bearing.diameter", valve?.bearing?.diameter)
      : -1,
    bearingFriction: isTrunnion
      ? gather.need("torque", "valve.bearing.friction", valve?.bearing?.friction)
      : -1,
    hydrodynamicScale: isDry
      ? -1
      : gather.need("torque", "valve.hydrodynamic.scale", valve?.hydrodynamic?.scale),
    hydrodynamic: tableSlots(gather, "valve.hydrodynamic.curve", valve?.hydrodynamic?.curve, "coefficient"),
    iceTorque: gather.need("torque", "valve.ice_torque", valve?.ice_torque),
    damping: gather.need("motion", "valve.damping", valve?.damping),
    inertia: gather.need("motion", "valve.inertia", valve?.inertia),
    windingResistance: gather.need("drive", "drive.motor.resistance", motor?.resistance),
    inductance: gather.need("drive", "drive.motor.inductance", motor?.inductance),
    torqueConstant: gather.need("drive", "drive.motor.torque_constant", motor?.torque_constant),
    torqueConstantDrift: gather.need(
      "drive",
      "drive.motor.torque_constant_drift",
      motor?.torque_constant_drift,
    ),
    rotorInertia: gather.need("drive", "drive.motor.inertia", motor?.inertia),
    motorFriction: gather.need("drive", "drive.motor.friction_torque", motor?.friction_torque),
    motorDamping: gather.need("drive", "drive.motor.damping", motor?.damping),
    windingHeatCapacity: gather.need(
      "heat",
      "drive.motor.winding_heat_capacity",
      motor?.winding_heat_capacity,
    ),
    caseHeatCapacity: gather.need("heat", "drive.motor.case_heat_capacity", motor?.case_heat_capacity),
    windingToCase: gather.need("heat", "drive.motor.winding_to_case", motor?.winding_to_case),
    caseToAmbient: gather.need("heat", "drive.motor.case_to_ambient", motor?.case_to_ambient),
    cyclePeriod: gather.need("heat", "duty.cycles.period", duty?.cycles?.period),
    cycleCount: gather.need("heat", "duty.cycles.count", duty?.cycles?.count),
    stallHold: gather.need("heat", "duty.cycles.stall_hold", duty?.cycles?.stall_hold),
    stages: (stages ?? []).map((stage, j): StageSlots => {
      const path = `drive.stages[${j}]`;
      return {
        ratio: gather.need("drive", `${path}.ratio`, stage.ratio),
        efficiency: gather.need("drive", `${path}.efficiency`, stage.efficiency),
        startingEfficiency: gather.may("drive", `${path}.starting_efficiency`, stage.starting_efficiency),
        backEfficiency: gather.may("drive", `${path}.back_efficiency`, stage.back_efficiency),
        noLoadTorque: gather.need("drive", `${path}.no_load_torque`, stage.no_load_torque),
        noLoadColdRatio: gather.need("drive", `${path}.no_load_cold_ratio`, stage.no_load_cold_ratio),
        inertia: gather.need("drive", `${path}.inertia`, stage.inertia),
        backlash: gather.take(`${path}.backlash`, stage.backlash),
      };
    }),
    openCircuitVoltage:
      caseVoltage === undefined
        ? gather.need("drive", "drive.supply.open_circuit_voltage", drive?.supply?.open_circuit_voltage)
        : gather.take(`${at}.open_circuit_voltage`, caseVoltage),
    batteryResistance: gather.need("drive", "drive.supply.resistance", drive?.supply?.resistance),
    cableResistance: gather.need("drive", "drive.supply.cable_resistance", drive?.supply?.cable_resistance),
    currentLimit: gather.need("drive", "drive.driver.current_limit", drive?.driver?.current_limit),
    deadTime: gather.need("drive", "drive.driver.dead_time", drive?.driver?.dead_time),
    sensorResolution: gather.take("drive.position_sensor.resolution", drive?.position_sensor?.resolution),
    stopRestitution: gather.need("motion", "drive.stop_restitution", drive?.stop_restitution),
    profileDuration: gather.need("profile", "drive.command.duration", drive?.command?.duration),
    sampleTime: gather.need("profile", "drive.command.sample_time", drive?.command?.sample_time),
    positionGain: gather.need("profile", "drive.command.position_gain", drive?.command?.position_gain),
    speedBandwidth: gather.need("profile", "drive.command.speed_bandwidth", drive?.command?.speed_bandwidth),
  };
}

function tableSlots<K extends string>(
  gather: Gatherer<Matter>,
  path: string,
  rows:
    | readonly ({ readonly angle?: Declared | undefined } & { readonly [P in K]?: Declared | undefined })[]
    | undefined,
  value: K,
): TableSlots {
  const angles: Slot[] = [];
  const values: Slot[] = [];
  (rows ?? []).forEach((row, j) => {
    if (row.angle === undefined || row[value] === undefined) return;
    angles.push(gather.take(`${path}[${j}].angle`, row.angle, path));
    values.push(gather.take(`${path}[${j}].${value}`, row[value], path));
  });
  return { angles, values };
}

function needLine(gather: Gatherer<Matter>, slots: Slots, at: string): void {
  const lineAt = at === "duty" ? "line" : `${at}.line`;
  for (const side of ["upstream", "downstream"] as const) {
    if (slots[side].drop < 0) gather.lack("flow", `${lineAt}.${side}.drop`);
    if (slots[side].at < 0) gather.lack("flow", `${lineAt}.${side}.at`);
  }
  if (slots.flowCoefficient < 0) gather.lack("flow", "valve.flow_coefficient");
  if (slots.characteristic.angles.length < 2 && slots.contraction < 0)
    gather.lack("flow", "valve.contraction");
  if (slots.recovery.angles.length === 0) gather.lack("flow", "valve.recovery");
  if (slots.hydrodynamic.angles.length === 0) gather.lack("torque", "valve.hydrodynamic.curve");
}

/** Without a measured characteristic the flow follows from the port, and a shut port must be shut. */
function refusePortThatNeverShuts({ valve }: ValveFile): void {
  if ((valve?.characteristic?.length ?? 0) >= 2) return;
  const bore = valve?.bore?.value;
  const ball = valve?.ball_diameter?.value;
  if (bore === undefined || ball === undefined) return;
  firstOpeningAngle({ ballRadius: (0.5 * ball) as Length, boreRadius: (0.5 * bore) as Length });
}

function mediumOf(gather: Gatherer<Matter>, conditions: Conditions, at: string, notices: Notice[]): Medium {
  const { fluid, fluid_temperature, supply_pressure, outlet } = conditions;
  if (fluid === undefined) {
    gather.lack("flow", `${at}.fluid`);
    return { kind: "unknown" };
  }
  if (fluid === "none") return { kind: "none" };
  if (outlet === undefined) {
    gather.lack("flow", `${at}.outlet`);
    return { kind: "unknown" };
  }
  if (outlet === "dead-ended") return { kind: "dead-ended" };
  if (fluid_temperature === undefined) {
    gather.lack("flow", `${at}.fluid_temperature`);
    return { kind: "unknown" };
  }
  if (supply_pressure === undefined) return { kind: "unknown" };
  const fit = liquidFit(fluid, supply_pressure, fluid_temperature);
  notices.push(...fit.notices);
  return { kind: "liquid", fit };
}

/** Says where a value is used beyond the range of its law. */
function noteRanges(gather: Gatherer<Matter>, slots: Slots, notices: Notice[]): void {
  const space = gather.space([], []);
  const valueIn = (slot: Slot) => (slot < 0 ? undefined : space.nominal[slot]);
  const motor = valueIn(slots.motorTemperature);
  if (motor !== undefined && (motor < windingLawRange.low || motor > windingLawRange.high)) {
    const edge = motor < windingLawRange.low ? windingLawRange.low : windingLawRange.high;
    notices.push({
      code: "winding-law-extrapolated",
      field: "motor_temperature",
      text: `the winding resistance at ${motor.toFixed(0)} K is extrapolated ${Math.abs(motor - edge).toFixed(0)} K beyond the range of copper's straight line (${windingLawRange.low.toFixed(0)} to ${windingLawRange.high.toFixed(0)} K)`,
    });
  }
  const valve = valueIn(slots.valveTemperature);
  if (valve !== undefined && valve < referenceTemperatures.cold_K - 1) {
    notices.push({
      code: "cold-ratio-extrapolated",
      field: "valve_temperature",
      text: `friction and preload at ${valve.toFixed(0)} K are extrapolated ${(referenceTemperatures.cold_K - valve).toFixed(0)} K beyond the cold point (${referenceTemperatures.cold_K} K)`,
    });
  }
  const gearbox = valueIn(slots.gearboxTemperature);
  if (gearbox !== undefined && gearbox < referenceTemperatures.gearbox_cold_K - 1) {
    notices.push({
      code: "gearbox-cold-extrapolated",
      field: "gearbox_temperature",
      text: `the gears' no-load torque at ${gearbox.toFixed(0)} K is extrapolated ${(referenceTemperatures.gearbox_cold_K - gearbox).toFixed(0)} K beyond its cold point (${referenceTemperatures.gearbox_cold_K} K)`,
    });
  }
}
