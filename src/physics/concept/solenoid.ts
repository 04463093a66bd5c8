/**
 * A solenoid that pulls a poppet off its seat: force, ampere-turns, power and mass by statics.
 *
 *   force         F = B^2 A/(2 mu_0)          of one pole face, uniform field in the gap
 *   ampere-turns  N I = (1 + c) B g/mu_0      gap g, c the share that the iron takes
 *   power         P = rho J N I l             current density J, mean turn l
 *
 * The coil's window has the area N I/(J k), k the share of copper in it, three times as long as it is
 * thick; the iron carries the flux of the pole everywhere. Valid for a plunger with a flat face, below
 * saturation of the iron (B of some 1.2 to 1.6 T), a coil at its start temperature. A conical face pulls
 * more at a long gap and less at a short one.
 * Source [fitzgerald-kingsley-umans-2003, ch. 3], from memory; proportions of the coil: common practice, no source.
 */
import type { Area, Current, Force, Length, Mass, Power } from "../../quantity/index.js";
import { vacuumPermeability } from "../../quantity/index.js";

/** What a coil is made of and how hard it is driven. */
export interface CoilMaterial {
  /** Flux density in the gap [T]. */
  readonly fluxDensity: number;
  /** Share of the ampere-turns that the iron takes, over those of the gap, >= 0 [-]. */
  readonly ironShare: number;
  /** Current density in the copper [A/m2]. */
  readonly currentDensity: number;
  /** Share of copper in the window, 0 < k < 1 [-]. */
  readonly fill: number;
}

/** A sized solenoid. */
export interface Solenoid {
  readonly poleArea: Area;
  readonly poleDiameter: Length;
  readonly ampereTurns: Current;
  /** While it pulls in. */
  readonly power: Power;
  /** Copper and iron. */
  readonly mass: Mass;
}

/** Resistivity of copper at 20 degC [ohm m]; density of copper and of iron [kg/m3]: handbook values, from memory. */
const resistivity = 1.72e-8;
const density = { copper: 8960, iron: 7870 } as const;
/** Length of the coil's window over its thickness [-]. */
const slenderness = 3;

/** Force between a pole face and its plunger. @param fluxDensity [T];  @param area of the face */
export function poleForce(fluxDensity: number, area: Area): Force {
  return ((fluxDensity * fluxDensity * area) / (2 * vacuumPermeability.value)) as Force;
}

/** Sizes a solenoid. @param force to be pulled at the whole gap, > 0;  @param gap stroke of the plunger, > 0 */
export function solenoidFor(force: Force, gap: Length, material: CoilMaterial): Solenoid {
  const { fluxDensity: B, ironShare, currentDensity: J, fill } = material;
  const A = (2 * vacuumPermeability.value * force) / (B * B);
  const d = Math.sqrt((4 * A) / Math.PI);
  const turns = ((1 + ironShare) * B * gap) / vacuumPermeability.value;
  const window = turns / (J * fill);
  const thickness = Math.sqrt(window / slenderness);
  const length = slenderness * thickness;
  const meanTurn = Math.PI * (d + thickness);
  const copper = density.copper * fill * window * meanTurn;
  // Core and shell have the pole's area; the end plates are as thick as carries its flux round its edge.
  const inside = d + 2 * thickness;
  const shell = Math.sqrt(inside * inside + (4 * A) / Math.PI);
  const plates = 2 * (d / 4) * (Math.PI / 4) * shell * shell;
  const iron = density.iron * (2 * A * length + plates);
  return {
    poleArea: A as Area,
    poleDiameter: d as Length,
    ampereTurns: turns as Current,
    power: (resistivity * J * turns * meanTurn) as Power,
    mass: (copper + iron) as Mass,
  };
}
