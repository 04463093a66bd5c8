/**
 * The trade of concepts: the motor-driven ball valve against other ways to open the same flow, each by its
 * own equation (physics/concept), for the same bore, pressure and duty. It compares orders of size, not
 * designs: every input that nobody declared is a usual value, and says so.
 */
import {
  applyDefaults,
  conditionsOf,
  type Dossier,
  type TradeInput,
  type TradeName,
  tradeGas,
  tradeInput,
  withValues,
} from "../dossier/index.js";
import { Refusal } from "../fault/index.js";
import { quantileOfSorted } from "../numerics/index.js";
import {
  chargeMass,
  circle,
  domeThickness,
  fullLift,
  gasOfStroke,
  plateThickness,
  poppetForce,
  releaseTime,
  shearWork,
  solenoidFor,
  sweptVolume,
} from "../physics/concept/index.js";
import {
  breakawayTorque,
  columnIndex,
  fillRow,
  modelVersion,
  type Plan,
  planFor,
  rowWidth,
  ValveSample,
} from "../predict/index.js";
import type {
  Angle,
  Density,
  Dimension,
  Force,
  Length,
  Pressure,
  PressureDifference,
  Stress,
  Temperature,
  Torque,
  Volume,
} from "../quantity/index.js";
import { fluid, isFluidName } from "../substance/index.js";
import { Draws } from "./draws.js";

export type ConceptId = "motor" | "solenoid" | "piloted" | "pneumatic" | "disc" | "charge";

/** A number with its dimension, SI. */
export interface ConceptFigure {
  readonly what: string;
  /** Null where it is not known. */
  readonly value: number | null;
  readonly dimension: Dimension;
  readonly equation: string;
}

/** One way to open the valve. */
export interface Concept {
  readonly id: ConceptId;
  readonly name: string;
  /** What opening takes: a force, a torque or a work. */
  readonly opening: ConceptFigure;
  /** Electric power while it opens. */
  readonly power: ConceptFigure | undefined;
  /** Gas for one opening with its closing. */
  readonly gas: ConceptFigure | undefined;
  /** Of the actuator alone. */
  readonly mass: ConceptFigure;
  readonly further: readonly ConceptFigure[];
  readonly throttles: boolean;
  readonly withoutPower: string;
  readonly reuse: string;
  /** What of the duty it cannot do. */
  readonly against: readonly string[];
  /** Names of the inputs that it rests on. */
  readonly inputs: readonly TradeName[];
  /** Fields that are missing. */
  readonly needs: readonly string[];
}

export interface Trade {
  readonly model: string;
  readonly caseId: string;
  /** Across the shut valve, for every concept the same [Pa]; null where it is not known. */
  readonly difference: number | null;
  readonly concepts: readonly Concept[];
  readonly inputs: readonly TradeInput[];
  /** What hurts people with these ways to open. */
  readonly cautions: readonly string[];
}

/** Samples of the breakaway torque, as `check` draws; actuators are sized by the high end of its band. */
const torqueSamples = 512;
const highEnd = 0.975;

/** What the concepts have in common. */
interface Common {
  readonly dossier: Dossier;
  readonly bore: number;
  readonly travel: number;
  /** Across the closed valve: supply over what is behind it before it opens. */
  readonly difference: number;
  readonly supply: number;
  readonly ambient: number;
  readonly density: number;
  /** High end of the breakaway torque. */
  readonly torque: number;
  readonly row: Float64Array | undefined;
  readonly missing: readonly string[];
  readonly input: (name: TradeName) => number;
}

/** Holds the concepts against each other for one case. Refuses an unknown case */
export function tradeOf(declared: Dossier, caseId: string): Trade {
  const { dossier } = applyDefaults(declared, caseId);
  const inputs: TradeInput[] = [];
  const input = (name: TradeName) => {
    const known = inputs.find((each) => each.name === name);
    if (known !== undefined) return known.value;
    const found = tradeInput(dossier, name);
    inputs.push(found);
    return found.value;
  };
  const common = commonOf(dossier, caseId, input);
  const concepts = [motor, solenoid, piloted, pneumatic, disc, charge].map((concept) => concept(common));
  const difference = Number.isNaN(common.difference) ? null : common.difference;
  return { model: modelVersion, caseId, difference, concepts, inputs, cautions };
}

const cautions = [
  "Charges, burst discs and relief devices belong to licensed people under the law of the place; the numbers here design none of them.",
  "Stored gas and springs hold their energy without power: vent and block them before hands come near.",
  "An actuator that moves by itself shears what reaches into the port and catches fingers at its coupling.",
  "What a coil, a lubricant or the products of a charge do beside oxygen is question 8's, and the specialist's.",
];

function commonOf(dossier: Dossier, caseId: string, input: Common["input"]): Common {
  const conditions = conditionsOf(dossier, caseId);
  const { valve, duty } = dossier.valve;
  const plan = attempted(() => planFor(shutAgainstAmbient(dossier, caseId), caseId));
  const missing = plan === undefined ? ["values of the case that fit together"] : plan.missing.motion;
  const supply = conditions.supply_pressure?.value ?? Number.NaN;
  const ambient = duty?.ambient_pressure?.value ?? Number.NaN;
  const behind = conditions.back_pressure_at_start?.value ?? ambient;
  const temperature = conditions.fluid_temperature?.value ?? Number.NaN;
  return {
    dossier,
    bore: valve?.bore?.value ?? Number.NaN,
    travel: valve?.travel?.value ?? Number.NaN,
    difference: conditions.fluid === "none" ? 0 : supply - behind,
    supply,
    ambient,
    density: plan?.medium.kind === "liquid" ? plan.medium.fit.density(temperature) : Number.NaN,
    torque: plan === undefined || plan.missing.torque.length > 0 ? Number.NaN : highTorque(plan),
    row: plan === undefined || missing.length > 0 ? undefined : nominalRow(plan),
    missing,
    input,
  };
}

/**
 * Every concept opens against the same pressure: behind a shut valve stands what the case says of its start, else
 * the atmosphere, and not the back pressure of the flow that there is not yet.
 */
function shutAgainstAmbient(dossier: Dossier, caseId: string): Dossier {
  const { duty, cases } = dossier.valve;
  const ambient = duty?.ambient_pressure;
  const { back_pressure_at_start: start, fluid } = conditionsOf(dossier, caseId);
  const at = (cases ?? []).findIndex(({ id }) => id === caseId);
  const path = at < 0 ? "duty.back_pressure_at_start" : `cases[${at}].back_pressure_at_start`;
  if (start !== undefined || ambient === undefined || fluid === "none") return dossier;
  return withValues(dossier, new Map([[path, ambient]]));
}

function attempted<T>(act: () => T): T | undefined {
  try {
    return act();
  } catch (thrown) {
    if (!(thrown instanceof Refusal)) throw thrown;
    return undefined;
  }
}

/** High end of the band of the breakaway torque [N m]. */
function highTorque(plan: Plan): number {
  const draws = new Draws(1, torqueSamples);
  draws.admit(plan.space.inputs.map(({ path }) => path));
  const torques = Array.from({ length: torqueSamples }, (_, i) =>
    attempted(() => {
      const sample = new ValveSample(plan);
      sample.values.set(draws.values(plan.space, i + 1));
      sample.updateFlow();
      sample.updateTorque();
      return breakawayTorque(sample);
    }),
  ).filter((torque) => torque !== undefined);
  return torques.length === 0 ? Number.NaN : quantileOfSorted(Float64Array.from(torques).sort(), highEnd);
}

function nominalRow(plan: Plan): Float64Array | undefined {
  return attempted(() => {
    const row = new Float64Array(rowWidth);
    fillRow(new ValveSample(plan), row, { openingOnly: false });
    return row;
  });
}

function figure(what: string, value: number, dimension: Dimension, equation: string): ConceptFigure {
  return { what, value: Number.isFinite(value) ? value : null, dimension, equation };
}

/** What of the duty a closure cannot do that only opens, or opens once. */
function dutyAgainst(
  { dossier }: Common,
  can: { readonly throttle: boolean; readonly close: boolean; readonly again: boolean },
): readonly string[] {
  const { duty, valve } = dossier.valve;
  const strokes = valve?.strength?.life_cycles?.value ?? duty?.cycles?.count?.value;
  return [
    ...(!can.throttle && duty?.throttle !== undefined ? ["the duty throttles"] : []),
    ...(!can.close && duty?.close_within?.time !== undefined ? ["the duty closes on abort"] : []),
    ...(!can.again && strokes !== undefined && strokes > 1 ? [`the duty has ${strokes} openings`] : []),
  ];
}

function motor(common: Common): Concept {
  const { dossier, row, torque, missing } = common;
  const { drive } = dossier.valve;
  const current = row?.[columnIndex("peak-current")] ?? Number.NaN;
  const voltage = drive?.supply?.open_circuit_voltage?.value ?? Number.NaN;
  const parts = [drive?.motor?.build?.mass, ...(drive?.stages ?? []).map(({ build }) => build?.mass)];
  const mass = parts.reduce((sum, each) => sum + (each?.value ?? Number.NaN), 0);
  return {
    id: "motor",
    name: "motor-driven ball valve",
    opening: figure("breakaway torque, high end of its band", torque, "torque", "questions 2 and 3"),
    power: figure("peak power of the motor", voltage * current, "power", "P = V i"),
    gas: undefined,
    mass: figure("motor and stages", mass, "mass", "sum of the declared masses"),
    further: [
      figure(
        "opening time at the nominal values, from command to the end of the travel",
        row?.[columnIndex("opening:command-to-end")] ?? Number.NaN,
        "time",
        "simulated",
      ),
    ],
    throttles: true,
    withoutPower: "stays where it is, unless the flow or a spring can turn the gears back (question 4)",
    reuse: "as long as seats, stem and gears live",
    against: [],
    inputs: [],
    needs: missing,
  };
}

const needsOfFlow = ({ bore, difference }: Common) => [
  ...(Number.isNaN(bore) ? ["valve.bore"] : []),
  ...(Number.isNaN(difference) ? ["supply_pressure of the case, duty.ambient_pressure"] : []),
];

const coil = ["flux_density", "iron_share", "current_density", "copper_fill", "force_margin"] as const;

function coilOf({ input }: Common, force: number, gap: number) {
  return solenoidFor(((1 + input("force_margin")) * force) as Force, gap as Length, {
    fluxDensity: input("flux_density"),
    ironShare: input("iron_share"),
    currentDensity: input("current_density"),
    fill: input("copper_fill"),
  });
}

function solenoid(common: Common): Concept {
  const { bore, difference } = common;
  const lift = fullLift(bore as Length);
  const force = poppetForce(difference as PressureDifference, bore as Length, 0 as Force);
  const made = coilOf(common, force, lift);
  return {
    id: "solenoid",
    name: "direct solenoid on a poppet",
    opening: figure("force on the closed poppet", force, "force", "F = dp (pi/4) d^2"),
    power: figure(
      "pull-in power of the coil",
      made.power,
      "power",
      "P = rho J N I l; F = B^2 A/(2 mu_0), N I = (1 + c) B g/mu_0",
    ),
    gas: undefined,
    mass: figure("coil and iron", made.mass, "mass", "copper of the window, iron of the pole's area"),
    further: [
      figure("lift for the area of the bore", lift, "length", "s = d/4"),
      figure("diameter of the pole", made.poleDiameter, "length", "A = 2 mu_0 F/B^2"),
      figure("ampere-turns", made.ampereTurns, "current", "N I = (1 + c) B g/mu_0"),
    ],
    throttles: false,
    withoutPower: "closes by its spring and the pressure",
    reuse: "many strokes",
    against: dutyAgainst(common, { throttle: false, close: true, again: true }),
    inputs: coil,
    needs: needsOfFlow(common),
  };
}

function piloted(common: Common): Concept {
  const { bore, difference, density, input, row } = common;
  const pilot = input("pilot_bore") as Length;
  const force = poppetForce(difference as PressureDifference, pilot, 0 as Force);
  const made = coilOf(common, force, fullLift(pilot));
  // Behind the poppet: the seat's circle over its lift.
  const volume = (circle(bore as Length) * fullLift(bore as Length)) as Volume;
  const time = releaseTime(
    volume,
    pilot,
    input("pilot_discharge"),
    difference as PressureDifference,
    density as Density,
  );
  const least = input("pilot_least_drop");
  const drop = row?.[columnIndex("valve-drop")] ?? Number.NaN;
  const budget = common.dossier.valve.duty?.largest_valve_drop?.value;
  return {
    id: "piloted",
    name: "pilot-operated solenoid valve",
    opening: figure("force on the pilot", force, "force", "F = dp (pi/4) d_p^2"),
    power: figure(
      "pull-in power of the pilot's coil",
      made.power,
      "power",
      "P = rho J N I l; F = B^2 A/(2 mu_0)",
    ),
    gas: undefined,
    mass: figure(
      "coil and iron of the pilot",
      made.mass,
      "mass",
      "copper of the window, iron of the pole's area",
    ),
    further: [
      figure("time until the poppet is free", time, "time", "t = V/(C_d A_p sqrt(2 dp/rho))"),
      figure("drop that keeps it open", least, "pressure difference", "declared or usual"),
      figure("drop of the ball valve wide open", drop, "pressure difference", "question 1"),
    ],
    throttles: false,
    withoutPower: "closes by its spring and the pressure",
    reuse: "many strokes",
    against: [
      ...dutyAgainst(common, { throttle: false, close: true, again: true }),
      ...(budget !== undefined && least > budget
        ? ["it needs more drop than duty.largest_valve_drop to stay open"]
        : []),
    ],
    inputs: [...coil, "pilot_bore", "pilot_discharge", "pilot_least_drop"],
    needs: needsOfFlow(common),
  };
}

function pneumatic(common: Common): Concept {
  const { dossier, torque, travel, ambient, input } = common;
  const { gas } = tradeGas(dossier);
  const R = gas !== undefined && isFluidName(gas) ? fluid(gas).specificGasConstant : Number.NaN;
  const gauge = input("gas_pressure");
  const wanted = (1 + input("torque_margin")) * torque;
  // Its spring closes the valve: the gas winds it up beside turning the valve.
  const volume = sweptVolume(
    (2 * wanted) as Torque,
    travel as Angle,
    gauge as PressureDifference,
    input("actuator_efficiency"),
  );
  const used = gasOfStroke(
    volume,
    (gauge + ambient) as Pressure,
    R,
    input("gas_temperature") as Temperature,
    input("actuator_room"),
  );
  return {
    id: "pneumatic",
    name: "pneumatic quarter-turn actuator with a return spring",
    opening: figure("torque of the actuator", wanted, "torque", "breakaway torque with its margin"),
    power: undefined,
    gas: figure(`${gas ?? "gas"} of one opening`, used, "mass", "m = c (p_g + p_a) V/(R T)"),
    mass: figure("actuator", volume * input("actuator_density"), "mass", "swept volume by a usual density"),
    further: [figure("swept volume", volume, "volume", "V = 2 T q/(p_g eta)")],
    throttles: false,
    withoutPower: "closes by its spring",
    reuse: "many strokes",
    against: dutyAgainst(common, { throttle: false, close: true, again: true }),
    inputs: [
      "gas_pressure",
      "gas_temperature",
      "torque_margin",
      "actuator_efficiency",
      "actuator_room",
      "actuator_density",
    ],
    needs: [
      ...(Number.isNaN(torque) ? common.missing : []),
      ...(Number.isNaN(R) ? ["trade.gas, a name of the shipped fluids"] : []),
    ],
  };
}

function disc(common: Common): Concept {
  const { bore, supply, ambient, input } = common;
  const burst = input("disc_ratio") * (supply - ambient);
  const thickness = domeThickness(burst as Pressure, bore as Length, input("disc_strength") as Stress);
  const dome = 2 * Math.PI * (bore / 2) ** 2 * thickness * densityOfSteel;
  return {
    id: "disc",
    name: "burst disc",
    opening: figure(
      "pressure at which it bursts",
      burst,
      "pressure difference",
      "burst ratio times the supply's gauge pressure",
    ),
    power: undefined,
    gas: undefined,
    mass: figure("dome", dome, "mass", "hemisphere of that thickness"),
    further: [figure("thickness of the dome", thickness, "length", "t = p d/(4 s_u)")],
    throttles: false,
    withoutPower: "closed until it bursts, open for ever after",
    reuse: "none",
    against: [
      "it opens by pressure alone, not on command",
      ...dutyAgainst(common, { throttle: false, close: false, again: false }),
    ],
    inputs: ["disc_ratio", "disc_strength"],
    needs: needsOfFlow(common),
  };
}

/** Of steel [kg/m3]: handbook value, from memory. */
const densityOfSteel = 7900;

function charge(common: Common): Concept {
  const { dossier, bore, supply, ambient, input } = common;
  const thickness = plateThickness(
    (supply - ambient) as Pressure,
    bore as Length,
    input("plate_stress") as Stress,
  );
  const work = shearWork(bore as Length, thickness, input("shear_strength") as Stress);
  const voltage = dossier.valve.drive?.supply?.open_circuit_voltage?.value ?? Number.NaN;
  return {
    id: "charge",
    name: "pyrotechnic one-shot valve",
    opening: figure(
      "work that shears the closure out",
      work,
      "energy",
      "W = pi d t tau t, t = (d/2) sqrt(0.75 p/s)",
    ),
    power: figure("power of the firing pulse", voltage * input("firing_current"), "power", "P = V i"),
    gas: undefined,
    mass: figure(
      "charge alone",
      chargeMass(work, input("charge_efficiency"), input("charge_force")),
      "mass",
      "m = W/(eta lambda)",
    ),
    further: [figure("length of the firing pulse", input("firing_time"), "time", "usual")],
    throttles: false,
    withoutPower: "closed until it is fired, open for ever after",
    reuse: "none",
    against: [
      ...(dossier.valve.duty?.fluid === "oxygen"
        ? ["its hot gas and shards would be in oxygen (question 8)"]
        : []),
      ...dutyAgainst(common, { throttle: false, close: false, again: false }),
    ],
    inputs: [
      "plate_stress",
      "shear_strength",
      "charge_efficiency",
      "charge_force",
      "firing_current",
      "firing_time",
    ],
    needs: needsOfFlow(common),
  };
}
