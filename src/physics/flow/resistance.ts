/**
 * Resistance of pipe, fittings and valves in the forms the trade uses, and the way between them.
 *
 *   K   loss coefficient on the velocity head of an area A:  dp = K rho v^2 / 2 [-]
 *   C   flow coefficient as an area:                          Q = C sqrt(dp / rho) [m2]
 *   R   resistance of a line to mass flow:                    dp = R W^2 [Pa/(kg/s)^2]
 *
 * All turbulent: K, C and R do not depend on the flow. R belongs to one density.
 */
import { refuse } from "../../fault/index.js";
import {
  type Area,
  type Density,
  type FlowCoefficient,
  formatQuantity,
  type Length,
  type MassFlow,
  type PressureDifference,
  requireNotNegative,
  requirePositive,
  type Si,
  type Speed,
  type VolumeFlow,
} from "../../quantity/index.js";

/** Pressure drop per square of mass flow, at one density. */
export type MassFlowResistance = Si<"Pa/(kg/s)2">;

/** Highest Reynolds number of laminar pipe flow that is taken as laminar [moody-1944]. */
const laminarUpTo = 2_300;
/** Newton steps of the friction factor: quadratic, four reach the last bit from the start used. */
const frictionSteps = 6;

/** Area of a circle. @param radius > 0 [m] @returns [m2] */
export function circleArea(radius: Length): Area {
  requirePositive(radius, "radius", "length", "It is a length.");
  return (Math.PI * radius * radius) as Area;
}

/**
 * Flow coefficient of a loss coefficient.
 *
 *   C = A sqrt(2 / K)
 *
 * @param K  loss coefficient on the velocity head in A, > 0 [-]
 * @param A  area the loss coefficient refers to, > 0 [m2]
 * @returns  C [m2]
 * Source    derived in docs/theory/flow.md, "Coefficients".
 */
export function flowCoefficientOfLoss(K: number, A: Area): FlowCoefficient {
  requirePositive(K, "loss coefficient", "ratio", "A valve without loss has no flow coefficient.");
  requirePositive(A, "reference area", "area", "It is an area.");
  return (A * Math.sqrt(2 / K)) as FlowCoefficient;
}

/**
 * Loss coefficient of a flow coefficient.
 *
 *   K = 2 A^2 / C^2
 *
 * @param C  flow coefficient, > 0 [m2]
 * @param A  area whose velocity head K shall refer to, > 0 [m2]
 * @returns  K [-]
 * Source    derived in docs/theory/flow.md, "Coefficients".
 */
export function lossOfFlowCoefficient(C: FlowCoefficient, A: Area): number {
  requirePositive(C, "flow coefficient", "flow coefficient", "A shut valve has no loss coefficient.");
  requirePositive(A, "reference area", "area", "It is an area.");
  return 2 * (A / C) ** 2;
}

/** A row of complete-turbulence friction factors, as published by nominal size. */
export interface TurbulentFrictionRow {
  /** Nominal size [m]. */
  readonly size: Length;
  /** Friction factor of complete turbulence in clean commercial steel pipe of that size [-]. */
  readonly factor: number;
}

/**
 * Loss coefficient of a full-bore ball valve wide open.
 *
 *   K = 3 f_T
 *
 * @param table  f_T by nominal size, sizes rising
 * @param bore   bore diameter, within the table [m]; between rows f_T is linear in size
 * @returns      K on the velocity head in the bore [-]
 * Refuses       a bore outside the table.
 * Source        [crane-tp410, A-27 to A-30], from memory; catalogue values are 0.75 to 1.2 times
 *               the flow coefficient that follows.
 */
export function openBallLoss(table: readonly TurbulentFrictionRow[], bore: Length): number {
  for (let i = 1; i < table.length; i++) {
    const low = table[i - 1];
    const high = table[i];
    if (low === undefined || high === undefined || bore < low.size || bore > high.size) continue;
    const share = (bore - low.size) / (high.size - low.size);
    return 3 * (low.factor + share * (high.factor - low.factor));
  }
  return refuse(
    "outside-table",
    `bore ${formatQuantity(bore, "length")} lies outside the friction factors given, ${formatQuantity(table[0]?.size ?? 0, "length")} to ${formatQuantity(table.at(-1)?.size ?? 0, "length")}`,
    "The loss of a wide-open ball is known by nominal size only.",
    "Declare the wide-open flow coefficient.",
  );
}

/**
 * Loss coefficient of a wide-open ball valve with a bore smaller than its pipe.
 *
 *   K2 = (K1 + sin(t/2) (0.8 (1 - b^2) + 2.6 (1 - b^2)^2)) / b^4
 *
 * @param K1     loss of the port on its own velocity head, >= 0 [-]
 * @param b      bore over pipe diameter, 0 < b <= 1 [-]
 * @param taper  full angle t of the tapers to the port, 0 <= t <= 45 deg [rad]
 * @returns      K2 on the velocity head in the pipe [-]
 * Refuses       a diameter ratio or taper outside the range of the formula.
 * Source        [crane-tp410, A-27 formulas 5 and 6], from memory.
 */
export function reducedBoreLoss(K1: number, b: number, taper: number): number {
  requireNotNegative(K1, "port loss coefficient", "ratio", "A port does not gain head.");
  if (!(b > 0 && b <= 1)) {
    refuse(
      "impossible-value",
      `bore over pipe diameter is ${b}`,
      "A reduced bore lies above 0 and not above 1 pipe diameter.",
      "Exchange bore and pipe diameter if they are swapped.",
    );
  }
  if (!(taper >= 0 && taper <= Math.PI / 4)) {
    refuse(
      "outside-table",
      `taper angle is ${formatQuantity(taper, "angle")}`,
      "The formula holds for tapers of up to 45 deg full angle.",
      "Declare the wide-open flow coefficient.",
    );
  }
  const step = 1 - b * b;
  return (K1 + Math.sin(taper / 2) * (0.8 * step + 2.6 * step * step)) / b ** 4;
}

/**
 * Darcy friction factor of a round pipe.
 *
 *   laminar    f = 64 / Re                                         Re <= 2300
 *   turbulent  1/sqrt f = -2 log10( e/(3.7 D) + 2.51/(Re sqrt f) )
 *
 * @param Re         Reynolds number on the inside diameter, > 0 [-]
 * @param roughness  e/D, relative roughness, 0 <= e/D < 1 [-]
 * @returns          f, Darcy (four times Fanning) [-]
 * Valid for         Re up to 2300, and from about 4000; between them the flow is unsteady and the
 *                   turbulent value is an upper bound.
 * Source            [colebrook-1939], [moody-1944], from memory.
 */
export function darcyFrictionFactor(Re: number, roughness: number): number {
  requirePositive(Re, "Reynolds number", "ratio", "Friction factors are defined for a moving fluid.");
  requireNotNegative(roughness, "relative roughness", "ratio", "It is a height over a diameter.");
  if (Re <= laminarUpTo) return 64 / Re;
  const rough = roughness / 3.7;
  const smooth = 2.51 / Re;
  // x = 1/sqrt f solves x + 2 log10(rough + smooth x) = 0: smooth, convex, Newton from above.
  let x = -2 * Math.log10(rough + 5.74 / Re ** 0.9);
  for (let step = 0; step < frictionSteps; step++) {
    const inside = rough + smooth * x;
    const slope = 1 + (2 * smooth) / (Math.LN10 * inside);
    x -= (x + 2 * Math.log10(inside)) / slope;
  }
  return 1 / (x * x);
}

/** Loss coefficient of straight pipe, K = f L/D. @param f Darcy friction factor [-] @param L length [m] @param D inside diameter [m] @returns K [-] */
export function pipeLoss(f: number, L: Length, D: Length): number {
  requireNotNegative(L, "pipe length", "length", "It is a length.");
  requirePositive(D, "pipe diameter", "length", "It is a diameter.");
  return (f * L) / D;
}

/**
 * Resistance of a loss coefficient to mass flow.
 *
 *   R = K / (2 rho A^2)
 *
 * @param K    loss coefficient on the velocity head in A, >= 0 [-]
 * @param A    that area, > 0 [m2]
 * @param rho  density, > 0 [kg/m3]
 * Source      derived in docs/theory/flow.md, "Coefficients".
 */
export function resistanceOfLoss(K: number, A: Area, rho: Density): MassFlowResistance {
  requireNotNegative(K, "loss coefficient", "ratio", "A line does not gain head.");
  requirePositive(A, "reference area", "area", "It is an area.");
  requirePositive(rho, "density", "density", "Velocity follows from it.");
  return (K / (2 * rho * A * A)) as MassFlowResistance;
}

/**
 * Resistance of a line from a drop known at one flow, R = drop / flow^2.
 *
 * @param drop  pressure drop at that flow, >= 0 [Pa]
 * @param flow  mass flow, > 0 [kg/s]
 * @returns     R at the density at which the drop was found [Pa/(kg/s)^2]
 */
export function resistanceOfDrop(drop: PressureDifference, flow: MassFlow): MassFlowResistance {
  requireNotNegative(drop, "line drop", "pressure difference", "A line does not gain pressure by flow.");
  requirePositive(
    flow,
    "mass flow of the line drop",
    "mass flow",
    "A drop without flow says nothing of resistance.",
  );
  return (drop / flow ** 2) as MassFlowResistance;
}

/**
 * The same line at another density: at equal mass flow the drop goes with 1/rho.
 *
 * @param R     resistance at density `from` [Pa/(kg/s)^2]
 * @param from  density at which R was found, > 0 [kg/m3]
 * @param to    density of the fluid now, > 0 [kg/m3]
 */
export function resistanceAtDensity(R: MassFlowResistance, from: Density, to: Density): MassFlowResistance {
  requirePositive(from, "density of the known drop", "density", "Resistance goes with 1/density.");
  requirePositive(to, "density", "density", "Resistance goes with 1/density.");
  return ((R * from) / to) as MassFlowResistance;
}

/** Mean velocity through a bore, v = Q / (pi r^2). @param Q volume flow [m3/s] @param radius bore radius, > 0 [m] */
export function boreVelocity(Q: VolumeFlow, radius: Length): Speed {
  return (Q / circleArea(radius)) as Speed;
}
