/**
 * The extension of a cold valve as a fin: a bonnet tube and the stem in it, from the cold body to the
 * gearbox, with the motor behind. Along x, from the body,
 *
 *   (k_t(T) A_t T')' + g (S - T) + q(T) = 0     tube, T;  q heat from the air per length
 *   (k_s(S) A_s S')' + g (T - S)        = 0     stem, S;  g = 2 pi k_gas / ln(d_i/d_s) through the gap
 *
 * T = S = T_cold at x = 0. At x = L tube and stem end at the gearbox, each through a thermal resistance;
 * gearbox and motor are of one temperature each and take heat from the air. The conductivity is that of
 * each place, so that without heat from the air the leak is (A/L) times the integral of k dT.
 *
 * Solved on cells of equal length; the conduction between neighbours has the mean of k between them.
 * Valid for  gas at rest in the gap (cold end below); radiation across the gap is not in it; the wall is
 *            thin, so that no temperature differs across it
 * Source     derived in docs/theory/heat.md; the fin of constant k [incropera-2007, section 3.6]
 */
import type {
  HeatCapacity,
  Length,
  Power,
  Temperature,
  ThermalResistance,
  Time,
} from "../../quantity/index.js";
import { airConductivity } from "./air.js";
import { type Pair, pairAfter, steadyPair, type TwoNodes } from "./twoNodes.js";

/** Heat from outside with its slope over temperature [W/K or W/(m K)], which does not grow with it. */
export interface HeatAt {
  readonly value: number;
  readonly slope: number;
}

/** An extension with what stands on it. */
export interface ExtensionDesign {
  readonly cold: Temperature;
  readonly length: Length;
  readonly tubeOuterDiameter: Length;
  readonly tubeWall: Length;
  readonly stemDiameter: Length;
  /** Conductivity at a temperature [W/(m K)]. */
  readonly tubeConductivity: (T: number) => number;
  readonly stemConductivity: (T: number) => number;
  /** From the end of the tube and of the stem to the gearbox; 0 for none. */
  readonly tubeToGearbox: ThermalResistance;
  readonly stemToGearbox: ThermalResistance;
  /** Heat from the air to the tube per length, over the temperature of its metal [W/m]. */
  readonly sideHeat: (T: number) => HeatAt;
  /** Heat from the air to the gearbox [W]. */
  readonly gearboxHeat: (T: number) => HeatAt;
  readonly heater: Power;
  /** > 0. */
  readonly gearboxToMotor: ThermalResistance;
  /** > 0. */
  readonly motorToAir: ThermalResistance;
  readonly ambient: Temperature;
  /** Cells along it; 24 unless given. */
  readonly cells?: number;
}

/** Temperatures along an extension and of what stands on it, with the heat that flows. */
export interface ExtensionState {
  /** Middle of each cell from the cold end [m], with the temperatures of tube and stem there [K]. */
  readonly x: Float64Array;
  readonly tube: Float64Array;
  readonly stem: Float64Array;
  readonly gearbox: Temperature;
  readonly motor: Temperature;
  /** Heat into the valve through tube, stem and gas. */
  readonly toValve: Power;
  /** Heat from the air to the tube, to the gearbox, to the motor. */
  readonly toTube: Power;
  readonly toGearbox: Power;
  readonly toMotor: Power;
}

/** Temperatures that move by less than this have settled [K]. */
const settled = 1e-4;
const mostSweeps = 400;
/** Sweeps along the tangents; where a corner of the heat from the air throws them to and fro, half steps follow. */
const boldSweeps = 12;
const caution = 0.5;
/** Sweeps that settle the profile over a drive of given temperature. */
const profileSweeps = 3;
/** Exact steps of a cooling drive; the heat from the air is held at its line over each. */
const coolingSteps = 6;
/** Enough for 0.5 % of the leak and a thousandth of a kelvin of the gearbox. */
const usualCells = 24;

/** Steady state. */
export function steadyExtension(design: ExtensionDesign): ExtensionState {
  const fin = new Fin(design);
  for (let sweep = 0; sweep < mostSweeps; sweep++) {
    const drive = steadyPair(fin.driveNodes());
    if (fin.settle(drive, sweep < boldSweeps ? 1 : caution) < settled) return fin.state();
  }
  throw new Error("the temperatures of an extension do not settle");
}

/**
 * State a time after the body has become cold, from a drive at the temperature of the air. The extension
 * follows at once: its own heat would hold the drive warmer for longer.
 * @param capacities of gearbox and motor, > 0;  @param time  >= 0 [s]
 */
export function extensionAfter(
  design: ExtensionDesign,
  capacities: readonly [HeatCapacity, HeatCapacity],
  time: Time,
): ExtensionState {
  const fin = new Fin(design);
  let drive: Pair = [design.ambient, design.ambient];
  for (let sweep = 0; sweep < profileSweeps; sweep++) {
    fin.driveNodes();
    fin.settle(drive);
  }
  let before = 0;
  for (let k = 1; k <= coolingSteps; k++) {
    // Short steps first: the drive cools fastest at the beginning.
    const after = time * (k / coolingSteps) ** 2;
    drive = pairAfter(fin.driveNodes(), capacities, drive, (after - before) as Time);
    fin.settle(drive);
    before = after;
  }
  return fin.state();
}

/** The cells of one extension with their present temperatures; solved by elimination from the cold end. */
class Fin {
  private readonly n: number;
  private readonly dx: number;
  private readonly tubeArea: number;
  private readonly stemArea: number;
  private readonly gap: number;
  private readonly tube: Float64Array;
  private readonly stem: Float64Array;
  private gearbox: number;
  private motor: number;
  /** Conductance of tube and stem towards the warm neighbour of each cell [W/K]; [0] is to the cold end. */
  private readonly Gt: Float64Array;
  private readonly Gs: Float64Array;
  /** Inverse of the reduced 2 x 2 matrix of each cell, and its right side. */
  private readonly i11: Float64Array;
  private readonly i12: Float64Array;
  private readonly i22: Float64Array;
  private readonly r1: Float64Array;
  private readonly r2: Float64Array;

  constructor(private readonly design: ExtensionDesign) {
    const { cells = usualCells, length, tubeOuterDiameter: D, tubeWall: w, stemDiameter: d, cold } = design;
    this.n = cells;
    this.dx = length / cells;
    this.tubeArea = Math.PI * w * (D - w);
    this.stemArea = (Math.PI / 4) * d * d;
    this.gap = Math.log((D - 2 * w) / d);
    const row = () => new Float64Array(cells + 1);
    [this.Gt, this.Gs] = [row(), row()];
    [this.i11, this.i12, this.i22, this.r1, this.r2] = [row(), row(), row(), row(), row()];
    const between = (_: number, j: number) => cold + ((design.ambient - cold) * (j + 0.5)) / cells;
    this.tube = Float64Array.from({ length: cells }, between);
    this.stem = Float64Array.from(this.tube);
    this.gearbox = design.ambient;
    this.motor = design.ambient;
  }

  private conductances(): void {
    const { n, dx, tube, stem, tubeArea, stemArea, design } = this;
    const { tubeConductivity, stemConductivity, cold, tubeToGearbox, stemToGearbox } = design;
    let [kt, ks] = [tubeConductivity(cold), stemConductivity(cold)];
    for (let j = 0; j < n; j++) {
      const nextT = tubeConductivity(tube[j] ?? cold);
      const nextS = stemConductivity(stem[j] ?? cold);
      const length = j === 0 ? dx / 2 : dx;
      this.Gt[j] = (0.5 * (kt + nextT) * tubeArea) / length;
      this.Gs[j] = (0.5 * (ks + nextS) * stemArea) / length;
      [kt, ks] = [nextT, nextS];
    }
    this.Gt[n] = 1 / (dx / (2 * kt * tubeArea) + tubeToGearbox);
    this.Gs[n] = 1 / (dx / (2 * ks * stemArea) + stemToGearbox);
  }

  /** Heat from tube to stem per kelvin in a cell [W/K]. */
  private across(j: number): number {
    const T = 0.5 * ((this.tube[j] ?? 0) + (this.stem[j] ?? 0));
    return ((2 * Math.PI * airConductivity(T as Temperature)) / this.gap) * this.dx;
  }

  /** Eliminates the cells; what is left is the balance of gearbox and motor. */
  driveNodes(): TwoNodes {
    const { n, dx, tube, Gt, Gs, i11, i12, i22, r1, r2, design } = this;
    this.conductances();
    for (let j = 0; j < n; j++) {
      const T = tube[j] ?? 0;
      const side = design.sideHeat(T);
      const g = this.across(j);
      const [ct, cs, wt, ws] = [Gt[j] ?? 0, Gs[j] ?? 0, Gt[j + 1] ?? 0, Gs[j + 1] ?? 0];
      let d11 = ct + wt + g - side.slope * dx;
      let d12 = -g;
      let d22 = cs + ws + g;
      let b1 = (side.value - side.slope * T) * dx;
      let b2 = 0;
      if (j === 0) {
        b1 += ct * design.cold;
        b2 += cs * design.cold;
      } else {
        const [p11, p12, p22] = [i11[j - 1] ?? 0, i12[j - 1] ?? 0, i22[j - 1] ?? 0];
        d11 -= ct * p11 * ct;
        d12 -= ct * p12 * cs;
        d22 -= cs * p22 * cs;
        b1 += ct * (p11 * (r1[j - 1] ?? 0) + p12 * (r2[j - 1] ?? 0));
        b2 += cs * (p12 * (r1[j - 1] ?? 0) + p22 * (r2[j - 1] ?? 0));
      }
      const determinant = d11 * d22 - d12 * d12;
      i11[j] = d22 / determinant;
      i12[j] = -d12 / determinant;
      i22[j] = d11 / determinant;
      r1[j] = b1;
      r2[j] = b2;
    }
    const [et, es] = [Gt[n] ?? 0, Gs[n] ?? 0];
    const [p11, p12, p22] = [i11[n - 1] ?? 0, i12[n - 1] ?? 0, i22[n - 1] ?? 0];
    const [q1, q2] = [r1[n - 1] ?? 0, r2[n - 1] ?? 0];
    const heat = design.gearboxHeat(this.gearbox);
    const toMotor = 1 / design.gearboxToMotor;
    const motorToAir = 1 / design.motorToAir;
    return {
      a11: et + es + toMotor - heat.slope - (et * p11 * et + 2 * et * p12 * es + es * p22 * es),
      a12: -toMotor,
      a22: toMotor + motorToAir,
      b1:
        heat.value -
        heat.slope * this.gearbox +
        design.heater +
        et * (p11 * q1 + p12 * q2) +
        es * (p12 * q1 + p22 * q2),
      b2: motorToAir * design.ambient,
    };
  }

  /**
   * Puts the drive's temperatures back into the eliminated cells; returns the largest move [K].
   * @param share of the way to the new temperatures that is gone
   */
  settle([gearbox, motor]: Pair, share = 1): number {
    const { n, tube, stem, Gt, Gs, i11, i12, i22, r1, r2 } = this;
    let moved = Math.max(Math.abs(gearbox - this.gearbox), Math.abs(motor - this.motor));
    this.gearbox += share * (gearbox - this.gearbox);
    this.motor += share * (motor - this.motor);
    let [warmT, warmS]: [number, number] = [gearbox, gearbox];
    for (let j = n - 1; j >= 0; j--) {
      const b1 = (r1[j] ?? 0) + (Gt[j + 1] ?? 0) * warmT;
      const b2 = (r2[j] ?? 0) + (Gs[j + 1] ?? 0) * warmS;
      const T = (i11[j] ?? 0) * b1 + (i12[j] ?? 0) * b2;
      const S = (i12[j] ?? 0) * b1 + (i22[j] ?? 0) * b2;
      const [fromT, fromS] = [tube[j] ?? 0, stem[j] ?? 0];
      moved = Math.max(moved, Math.abs(T - fromT), Math.abs(S - fromS));
      tube[j] = fromT + share * (T - fromT);
      stem[j] = fromS + share * (S - fromS);
      [warmT, warmS] = [T, S];
    }
    return moved;
  }

  state(): ExtensionState {
    const { n, dx, tube, stem, design } = this;
    this.conductances();
    const toValve =
      (this.Gt[0] ?? 0) * ((tube[0] ?? 0) - design.cold) + (this.Gs[0] ?? 0) * ((stem[0] ?? 0) - design.cold);
    return {
      x: Float64Array.from({ length: n }, (_, j) => (j + 0.5) * dx),
      tube,
      stem,
      gearbox: this.gearbox as Temperature,
      motor: this.motor as Temperature,
      toValve: toValve as Power,
      toTube: tube.reduce((sum, T) => sum + design.sideHeat(T).value * dx, 0) as Power,
      toGearbox: design.gearboxHeat(this.gearbox).value as Power,
      toMotor: ((design.ambient - this.motor) / design.motorToAir) as Power,
    };
  }
}
