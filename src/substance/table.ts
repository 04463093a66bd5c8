/**
 * Fast table of density and enthalpy against pressure and temperature, for inner loops: bicubic
 * Hermite pieces over a patch that ends at the boiling line, so that liquid and vapour never mix.
 *
 *   liquid   p from p_sat(T) to the highest pressure     rho is interpolated
 *   vapour   p from the lowest pressure to p_sat(T)      rho / p is, which hardly changes
 *   gas      a rectangle beside the dome                 rho / p
 *
 * Value and both first derivatives are continuous (C1) over the whole patch. The error is measured when
 * the table is made, at the middle of every cell, and stated with it. Derivation: docs/theory/fluids.md,
 * "Fast table". Bench: bench/fluids.ts.
 */
import { refuse } from "../fault/index.js";
import type { Pressure, Temperature } from "../quantity/index.js";
import { type Branch, densityOnBranch } from "./density.js";
import type { Fluid } from "./fluid.js";
import { Isotherm } from "./isotherm.js";
import { kelvin, pressureText, rangeNotices, stateText } from "./range.js";
import { saturationAtTemperature } from "./saturated.js";
import { equilibrium, vapourPressure } from "./saturation.js";
import { homogeneousState } from "./state.js";

/** What a table covers. */
export interface TableRange {
  readonly region: "liquid" | "vapour" | "gas";
  readonly TMin: Temperature;
  readonly TMax: Temperature;
  /** Lowest pressure of vapour and gas; not used for a liquid, which begins at its vapour pressure. */
  readonly pMin: Pressure;
  /** Highest pressure of liquid and gas; not used for a vapour, which ends at its vapour pressure. */
  readonly pMax: Pressure;
  /** Cells along temperature and along pressure. */
  readonly cells?: readonly [number, number];
}

/** A share of the critical temperature beyond which boiling liquid and vapour change too fast for a table. */
const HOTTEST_BOILING = 0.97;
const USUAL_CELLS = [48, 32] as const;
/** Numbers kept for a step of temperature and for a cell. */
const EDGE = 4;
const CELL = 32;
/** Read through a DataView: an element of a typed array may be undefined to the compiler, and asking costs fivefold. */
const BYTES = 8;
/** A state this far outside, in steps of temperature or heights of the patch, is on the border. */
const ROUNDING = 1e-9;
/** Pressures from the equation of state miss the tabled edge by its own error; twice that is on the edge. */
const EDGE_MARGIN = 2;
/** Step of the difference that gives the twist, in cells. */
const TWIST_STEP = 1e-3;
/** The error between cell middles may exceed that at them. */
const ERROR_MARGIN = 1.5;

/** Value, slope along temperature, slope along pressure, twist; slopes for a whole cell. */
type Corner = readonly [number, number, number, number];
const NO_CORNER: Corner = [0, 0, 0, 0];

/** Coefficients of 1, u, u^2, u^3 of the cubic with these values and slopes at u = 0 and 1 (Hermite). */
function powers(f0: number, f1: number, m0: number, m1: number): readonly [number, number, number, number] {
  return [f0, m0, 3 * (f1 - f0) - 2 * m0 - m1, 2 * (f0 - f1) + m0 + m1];
}

/** The cubic whose coefficients stand at a place, in bytes. */
function row(coefficients: DataView, at: number, u: number): number {
  const c1 = coefficients.getFloat64(at + 8, true);
  const c2 = coefficients.getFloat64(at + 16, true);
  return coefficients.getFloat64(at, true) + u * (c1 + u * (c2 + u * coefficients.getFloat64(at + 24, true)));
}

/**
 * A table of one patch. `evaluate` sets the fields; nothing is allocated.
 */
export class FluidTable {
  readonly fluid: Fluid;
  readonly range: TableRange;
  /** Largest relative error of the density, and of the enthalpy against R T [-], as measured. */
  readonly densityError: number;
  readonly enthalpyError: number;

  /** Density [kg/m3] and its derivatives by pressure at constant temperature, and the reverse. */
  rho = 0;
  drhodp = 0;
  drhodT = 0;
  /** Enthalpy [J/kg]. */
  h = 0;

  /** For each cell the sixteen coefficients of u^m v^n of density, then of enthalpy. */
  private readonly cells: DataView;
  /** For each step of temperature the coefficients of the pressure of the moving edge. */
  private readonly edges: DataView;
  private readonly nT: number;
  private readonly nP: number;
  private readonly TMin: number;
  private readonly stepT: number;
  private readonly perStep: number;
  private readonly isLiquid: boolean;
  private readonly fixed: number;
  /** How far beyond the boiling edge, in heights of the patch, a state is still on it. */
  private readonly slack: number;

  /** Use `fluidTable`, which checks the range. */
  constructor(fluid: Fluid, range: TableRange) {
    this.fluid = fluid;
    this.range = range;
    [this.nT, this.nP] = range.cells ?? USUAL_CELLS;
    this.stepT = (range.TMax - range.TMin) / this.nT;
    this.TMin = range.TMin;
    this.perStep = 1 / this.stepT;
    this.isLiquid = range.region === "liquid";
    this.fixed = this.isLiquid ? range.pMax : range.pMin;
    this.edges = new DataView(new ArrayBuffer(BYTES * EDGE * this.nT));
    this.cells = new DataView(new ArrayBuffer(BYTES * CELL * this.nT * this.nP));
    this.fillEdges();
    this.slack = ROUNDING + EDGE_MARGIN * this.edgeError();
    this.fillCells();
    const { density, enthalpy } = this.measured();
    this.densityError = ERROR_MARGIN * density;
    this.enthalpyError = ERROR_MARGIN * enthalpy;
  }

  /** True where the table has an answer. */
  covers(p: number, T: number): boolean {
    if (!(T >= this.range.TMin && T <= this.range.TMax)) return false;
    const y = this.place(p, T);
    return y >= -this.slack && y <= 1 + ROUNDING;
  }

  /**
   * Sets density, its derivatives and enthalpy. @param p  absolute [Pa];  @param T  [K]
   * Refuses  a state outside the patch
   */
  evaluate(p: number, T: number): void {
    const { nT, nP, cells, edges, perStep, isLiquid } = this;
    const x = (T - this.TMin) * perStep;
    const i = x >= nT ? nT - 1 : x > 0 ? x | 0 : 0;
    const u = x - i;
    const e = BYTES * EDGE * i;
    const e1 = edges.getFloat64(e + 8, true);
    const e2 = edges.getFloat64(e + 16, true);
    const e3 = edges.getFloat64(e + 24, true);
    const boundary = edges.getFloat64(e, true) + u * (e1 + u * (e2 + u * e3));
    const perSpan = 1 / (this.fixed - boundary);
    const y = (p - boundary) * perSpan;
    const { slack } = this;
    if (!(x >= -ROUNDING && x <= nT + ROUNDING && y >= -slack && y <= 1 + ROUNDING)) this.refuseOutside(p, T);
    const z = y * nP;
    const j = z >= nP ? nP - 1 : z > 0 ? z | 0 : 0;
    const v = z - j;
    const k = BYTES * CELL * (i * nP + j);
    const a1 = cells.getFloat64(k + 8, true);
    const a2 = cells.getFloat64(k + 16, true);
    const a3 = cells.getFloat64(k + 24, true);
    const b1 = cells.getFloat64(k + 40, true);
    const b2 = cells.getFloat64(k + 48, true);
    const b3 = cells.getFloat64(k + 56, true);
    const c1 = cells.getFloat64(k + 72, true);
    const c2 = cells.getFloat64(k + 80, true);
    const c3 = cells.getFloat64(k + 88, true);
    const d1 = cells.getFloat64(k + 104, true);
    const d2 = cells.getFloat64(k + 112, true);
    const d3 = cells.getFloat64(k + 120, true);
    const a = cells.getFloat64(k, true) + u * (a1 + u * (a2 + u * a3));
    const b = cells.getFloat64(k + 32, true) + u * (b1 + u * (b2 + u * b3));
    const c = cells.getFloat64(k + 64, true) + u * (c1 + u * (c2 + u * c3));
    const d = cells.getFloat64(k + 96, true) + u * (d1 + u * (d2 + u * d3));
    const w = 3 * u;
    const aT = a1 + u * (2 * a2 + w * a3);
    const bT = b1 + u * (2 * b2 + w * b3);
    const cT = c1 + u * (2 * c2 + w * c3);
    const dT = d1 + u * (2 * d2 + w * d3);
    const value = a + v * (b + v * (c + v * d));
    const byP = (b + v * (2 * c + 3 * v * d)) * nP * perSpan;
    const byX = aT + v * (bT + v * (cT + v * dT));
    const byT = (byX - byP * (1 - y) * (e1 + u * (2 * e2 + w * e3))) * perStep;
    if (isLiquid) {
      this.rho = value;
      this.drhodp = byP;
      this.drhodT = byT;
    } else {
      this.rho = p * value;
      this.drhodp = value + p * byP;
      this.drhodT = p * byT;
    }
    const h0 = row(cells, k + 128, u);
    const h1 = row(cells, k + 160, u);
    const h2 = row(cells, k + 192, u);
    this.h = h0 + v * (h1 + v * (h2 + v * row(cells, k + 224, u)));
  }

  /** Where between the edge (0) and the fixed border (1) of the patch a state lies. */
  private place(p: number, T: number): number {
    const boundary = this.edgeAt(T);
    return (p - boundary) / (this.fixed - boundary);
  }

  private edgeAt(T: number): number {
    const x = (T - this.range.TMin) / this.stepT;
    const i = Math.min(Math.max(Math.floor(x), 0), this.nT - 1);
    return row(this.edges, BYTES * EDGE * i, x - i);
  }

  private fillEdges(): void {
    const { fluid, range, edges, stepT, nT } = this;
    const at = (i: number): readonly [number, number] => {
      if (range.region === "gas") return [range.pMax, 0];
      const { p, slope } = saturationAtTemperature(fluid, (range.TMin + i * stepT) as Temperature);
      return [p, slope * stepT];
    };
    for (let i = 0; i < nT; i++) {
      const [p0, m0] = at(i);
      const [p1, m1] = at(i + 1);
      powers(p0, p1, m0, m1).forEach((coefficient, m) => {
        edges.setFloat64(BYTES * (EDGE * i + m), coefficient, true);
      });
    }
  }

  /** Largest error of the edge at the middles of the steps, in heights of the patch. */
  private edgeError(): number {
    const { fluid, range, stepT, nT } = this;
    if (range.region === "gas") return 0;
    let worst = 0;
    for (let i = 0; i < nT; i++) {
      const T = (range.TMin + (i + 0.5) * stepT) as Temperature;
      worst = Math.max(worst, Math.abs(this.place(vapourPressure(fluid, T), T)));
    }
    return worst;
  }

  private fillCells(): void {
    const { nT, nP, cells } = this;
    let left = this.corners(0);
    for (let i = 0; i < nT; i++) {
      const right = this.corners(i + 1);
      for (let j = 0; j < nP; j++) {
        for (const [n, of] of (["density", "enthalpy"] as const).entries()) {
          const at = (side: typeof left, up: number) => side[of][j + up] ?? NO_CORNER;
          const [l0, r0, l1, r1] = [at(left, 0), at(right, 0), at(left, 1), at(right, 1)];
          // Powers of u of value and pressure slope at the lower and upper border, then powers of v.
          const low = powers(l0[0], r0[0], l0[1], r0[1]);
          const lowP = powers(l0[2], r0[2], l0[3], r0[3]);
          const high = powers(l1[0], r1[0], l1[1], r1[1]);
          const highP = powers(l1[2], r1[2], l1[3], r1[3]);
          const start = CELL * (i * nP + j) + (CELL / 2) * n;
          for (let m = 0; m < 4; m++) {
            const column = powers(low[m] ?? 0, high[m] ?? 0, lowP[m] ?? 0, highP[m] ?? 0);
            column.forEach((coefficient, q) => {
              cells.setFloat64(BYTES * (start + 4 * q + m), coefficient, true);
            });
          }
        }
      }
      left = right;
    }
  }

  /** Value, both slopes and twist (for a cell) of density and enthalpy along one column of corners. */
  private corners(i: number): { density: readonly Corner[]; enthalpy: readonly Corner[] } {
    const { range, stepT } = this;
    const T = range.TMin + i * stepT;
    const here = this.column(T);
    const up = this.column(Math.min(T + TWIST_STEP * stepT, range.TMax));
    const down = this.column(Math.max(T - TWIST_STEP * stepT, range.TMin));
    const apart = (up.T - down.T) / stepT;
    const twisted = (of: "density" | "enthalpy") =>
      here[of].map(([value, byX, byZ], j): Corner => {
        const twist = ((up[of][j]?.[2] ?? 0) - (down[of][j]?.[2] ?? 0)) / apart;
        return [value, byX, byZ, twist];
      });
    return { density: twisted("density"), enthalpy: twisted("enthalpy") };
  }

  /** Density and enthalpy with both slopes (for a cell) along one column of nodes. */
  private column(T: number): {
    T: number;
    density: (readonly [number, number, number])[];
    enthalpy: (readonly [number, number, number])[];
  } {
    const { fluid, isLiquid, nP, stepT } = this;
    const isotherm = new Isotherm(fluid);
    const boundary = this.edgeAt(T);
    const h = 1e-4 * stepT;
    const slope =
      T - h < this.range.TMin
        ? (this.edgeAt(T + h) - boundary) / h
        : T + h > this.range.TMax
          ? (boundary - this.edgeAt(T - h)) / h
          : (this.edgeAt(T + h) - this.edgeAt(T - h)) / (2 * h);
    const atT = T < fluid.critical.T ? equilibrium(fluid, T as Temperature, isotherm) : undefined;
    const branch: Branch = isLiquid ? "liquid" : T > fluid.critical.T ? "supercritical" : "gas";
    const density: (readonly [number, number, number])[] = [];
    const enthalpy: (readonly [number, number, number])[] = [];
    for (let j = 0; j <= nP; j++) {
      const y = j / nP;
      const p = boundary + y * (this.fixed - boundary);
      const rho = densityOnBranch(isotherm, branch, T as Temperature, p as Pressure, atT);
      const state = homogeneousState(isotherm, rho, p as Pressure, []);
      const { dpdT, dpdrho } = isotherm;
      const rhoP = 1 / dpdrho;
      const rhoT = -dpdT / dpdrho;
      const hP = 1 / rho + (T * rhoT) / (rho * rho);
      // Along temperature at constant y the pressure moves with the edge.
      const pT = (1 - y) * slope;
      const pZ = (this.fixed - boundary) / nP;
      const [value, byP, byT] = isLiquid ? [rho, rhoP, rhoT] : [rho / p, (rhoP - rho / p) / p, rhoT / p];
      density.push([value, (byT + byP * pT) * stepT, byP * pZ]);
      enthalpy.push([state.h, (state.cp + hP * pT) * stepT, hP * pZ]);
    }
    return { T, density, enthalpy };
  }

  /** Largest errors at the middles of the cells. */
  private measured(): { density: number; enthalpy: number } {
    const { fluid, isLiquid, nT, nP, stepT, range } = this;
    const isotherm = new Isotherm(fluid);
    let density = 0;
    let enthalpy = 0;
    for (let i = 0; i < nT; i++) {
      const T = range.TMin + (i + 0.5) * stepT;
      const boundary = this.edgeAt(T);
      const branch: Branch = isLiquid ? "liquid" : T > fluid.critical.T ? "supercritical" : "gas";
      for (let j = 0; j < nP; j++) {
        const p = boundary + ((j + 0.5) / nP) * (this.fixed - boundary);
        const rho = densityOnBranch(isotherm, branch, T as Temperature, p as Pressure);
        const state = homogeneousState(isotherm, rho, p as Pressure, []);
        this.evaluate(p, T);
        density = Math.max(density, Math.abs(this.rho / rho - 1));
        enthalpy = Math.max(enthalpy, Math.abs(this.h - state.h) / (fluid.specificGasConstant * T));
      }
    }
    return { density, enthalpy };
  }

  private refuseOutside(p: number, T: number): never {
    const { region, TMin, TMax, pMin, pMax } = this.range;
    const from = region === "liquid" ? "its vapour pressure" : pressureText(pMin);
    const to = region === "vapour" ? "its vapour pressure" : pressureText(pMax);
    return refuse(
      "outside-fluid-table",
      `${stateText(this.fluid, T, p, region)}: outside the table made for it`,
      `The table reaches from ${kelvin(TMin)} to ${kelvin(TMax)} and from ${from} to ${to}.`,
      "Make a table that covers the state.",
    );
  }
}

/**
 * A table of a fluid over a range.
 * Refuses  a range that is empty or beyond that of the equation of state; a boiling region beyond 0.97 of
 *          the critical temperature; a gas rectangle that reaches into the dome
 */
export function fluidTable(fluid: Fluid, range: TableRange): FluidTable {
  const { region, TMin, TMax, pMin, pMax } = range;
  const hottest = HOTTEST_BOILING * fluid.critical.T;
  const isBoiling = region !== "gas";
  const reason = !(TMax > TMin)
    ? "the temperatures do not rise"
    : isBoiling && TMax > hottest
      ? `boiling fluid is tabled up to ${kelvin(hottest)}, 0.97 of its critical temperature`
      : region === "liquid" && !(pMax > vapourPressure(fluid, TMax))
        ? `the highest pressure lies below the vapour pressure at ${kelvin(TMax)}`
        : region === "vapour" && !(pMin > 0 && pMin < vapourPressure(fluid, TMin))
          ? `the lowest pressure does not lie below the vapour pressure at ${kelvin(TMin)}`
          : region === "gas" && !(pMax > pMin && pMin > 0)
            ? "the pressures do not rise"
            : region === "gas" && TMin <= fluid.critical.T && pMax >= vapourPressure(fluid, TMin)
              ? "the rectangle reaches into the boiling region"
              : undefined;
  if (reason !== undefined) {
    refuse(
      "fluid-table-range",
      `a table of ${region} ${fluid.id} from ${kelvin(TMin)} to ${kelvin(TMax)}, up to ${pressureText(pMax)}: ${reason}`,
      "A table covers one phase of a fluid, away from its critical point.",
      "Narrow the range.",
    );
  }
  for (const T of [TMin, TMax]) rangeNotices(fluid, T, region === "vapour" ? vapourPressure(fluid, T) : pMax);
  return new FluidTable(fluid, range);
}
