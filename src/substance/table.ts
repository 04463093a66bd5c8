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
/** Numbers kept for a corner: value, slopes along both axes, twist; for density and enthalpy. */
const CORNER = 8;
/** Step of the difference that gives the twist, in cells. */
const TWIST_STEP = 1e-3;
/** The error between cell middles may exceed that at them. */
const ERROR_MARGIN = 1.5;

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

  private readonly nodes: Float64Array;
  /** Pressure of the moving edge of the patch at each node, and its slope along temperature. */
  private readonly edge: Float64Array;
  private readonly nT: number;
  private readonly nP: number;
  private readonly stepT: number;
  private readonly isLiquid: boolean;
  private readonly fixed: number;

  /** Use `fluidTable`, which checks the range. */
  constructor(fluid: Fluid, range: TableRange) {
    this.fluid = fluid;
    this.range = range;
    [this.nT, this.nP] = range.cells ?? USUAL_CELLS;
    this.stepT = (range.TMax - range.TMin) / this.nT;
    this.isLiquid = range.region === "liquid";
    this.fixed = this.isLiquid ? range.pMax : range.pMin;
    this.edge = new Float64Array(2 * (this.nT + 1));
    this.nodes = new Float64Array(CORNER * (this.nT + 1) * (this.nP + 1));
    this.fillEdge();
    this.fillNodes();
    const { density, enthalpy } = this.measured();
    this.densityError = ERROR_MARGIN * density;
    this.enthalpyError = ERROR_MARGIN * enthalpy;
  }

  /** True where the table has an answer. */
  covers(p: number, T: number): boolean {
    if (!(T >= this.range.TMin && T <= this.range.TMax)) return false;
    const y = this.place(p, T);
    return y >= -1e-9 && y <= 1 + 1e-9;
  }

  /**
   * Sets density, its derivatives and enthalpy. @param p  absolute [Pa];  @param T  [K]
   * Refuses  a state outside the patch
   */
  evaluate(p: number, T: number): void {
    const { nT, nP, nodes, edge, stepT, isLiquid } = this;
    const x = (T - this.range.TMin) / stepT;
    const i = x >= nT ? nT - 1 : x | 0;
    const u = x - i;
    const u1 = 1 - u;
    // Hermite's four functions and their slopes.
    const a0 = (1 + 2 * u) * u1 * u1;
    const a1 = u * u1 * u1;
    const a2 = u * u * (3 - 2 * u);
    const a3 = -u * u * u1;
    const s0 = -6 * u * u1;
    const s1 = u1 * (1 - 3 * u);
    const s3 = u * (3 * u - 2);
    const e = 2 * i;
    const e0 = edge[e] ?? 0;
    const m0 = edge[e + 1] ?? 0;
    const e1 = edge[e + 2] ?? 0;
    const m1 = edge[e + 3] ?? 0;
    const boundary = a0 * e0 + a1 * m0 + a2 * e1 + a3 * m1;
    const boundarySlope = s0 * (e0 - e1) + s1 * m0 + s3 * m1;
    const span = this.fixed - boundary;
    const y = (p - boundary) / span;
    if (!(x >= 0 && x <= nT && y >= -1e-9 && y <= 1 + 1e-9)) this.refuseOutside(p, T);
    const z = y * nP;
    const j = z >= nP ? nP - 1 : z > 0 ? z | 0 : 0;
    const v = z - j;
    const v1 = 1 - v;
    const b0 = (1 + 2 * v) * v1 * v1;
    const b1 = v * v1 * v1;
    const b2 = v * v * (3 - 2 * v);
    const b3 = -v * v * v1;
    const t0 = -6 * v * v1;
    const t1 = v1 * (1 - 3 * v);
    const t3 = v * (3 * v - 2);
    const k = CORNER * (i * (nP + 1) + j);
    const l = k + CORNER * (nP + 1);
    // Along temperature first: value and pressure slope at the lower and at the upper border of the cell.
    const n0 = nodes[k] ?? 0;
    const n1 = nodes[l] ?? 0;
    const n2 = nodes[k + 1] ?? 0;
    const n3 = nodes[l + 1] ?? 0;
    const low = a0 * n0 + a1 * n2 + a2 * n1 + a3 * n3;
    const lowT = s0 * (n0 - n1) + s1 * n2 + s3 * n3;
    const c0 = nodes[k + 2] ?? 0;
    const c1 = nodes[l + 2] ?? 0;
    const c2 = nodes[k + 3] ?? 0;
    const c3 = nodes[l + 3] ?? 0;
    const lowP = a0 * c0 + a1 * c2 + a2 * c1 + a3 * c3;
    const lowPT = s0 * (c0 - c1) + s1 * c2 + s3 * c3;
    const d0 = nodes[k + 8] ?? 0;
    const d1 = nodes[l + 8] ?? 0;
    const d2 = nodes[k + 9] ?? 0;
    const d3 = nodes[l + 9] ?? 0;
    const high = a0 * d0 + a1 * d2 + a2 * d1 + a3 * d3;
    const highT = s0 * (d0 - d1) + s1 * d2 + s3 * d3;
    const f0 = nodes[k + 10] ?? 0;
    const f1 = nodes[l + 10] ?? 0;
    const f2 = nodes[k + 11] ?? 0;
    const f3 = nodes[l + 11] ?? 0;
    const highP = a0 * f0 + a1 * f2 + a2 * f1 + a3 * f3;
    const highPT = s0 * (f0 - f1) + s1 * f2 + s3 * f3;
    const value = b0 * low + b1 * lowP + b2 * high + b3 * highP;
    const byX = b0 * lowT + b1 * lowPT + b2 * highT + b3 * highPT;
    const byZ = t0 * (low - high) + t1 * lowP + t3 * highP;
    const byP = (byZ * nP) / span;
    const byT = (byX - byP * (1 - y) * boundarySlope) / stepT;
    if (isLiquid) {
      this.rho = value;
      this.drhodp = byP;
      this.drhodT = byT;
    } else {
      this.rho = p * value;
      this.drhodp = value + p * byP;
      this.drhodT = p * byT;
    }
    const hLow =
      a0 * (nodes[k + 4] ?? 0) +
      a1 * (nodes[k + 5] ?? 0) +
      a2 * (nodes[l + 4] ?? 0) +
      a3 * (nodes[l + 5] ?? 0);
    const hLowP =
      a0 * (nodes[k + 6] ?? 0) +
      a1 * (nodes[k + 7] ?? 0) +
      a2 * (nodes[l + 6] ?? 0) +
      a3 * (nodes[l + 7] ?? 0);
    const hHigh =
      a0 * (nodes[k + 12] ?? 0) +
      a1 * (nodes[k + 13] ?? 0) +
      a2 * (nodes[l + 12] ?? 0) +
      a3 * (nodes[l + 13] ?? 0);
    const hHighP =
      a0 * (nodes[k + 14] ?? 0) +
      a1 * (nodes[k + 15] ?? 0) +
      a2 * (nodes[l + 14] ?? 0) +
      a3 * (nodes[l + 15] ?? 0);
    this.h = b0 * hLow + b1 * hLowP + b2 * hHigh + b3 * hHighP;
  }

  /** Where between the edge (0) and the fixed border (1) of the patch a state lies. */
  private place(p: number, T: number): number {
    const boundary = this.edgeAt(T);
    return (p - boundary) / (this.fixed - boundary);
  }

  private edgeAt(T: number): number {
    const x = (T - this.range.TMin) / this.stepT;
    const i = Math.min(Math.max(Math.floor(x), 0), this.nT - 1);
    const u = x - i;
    const [e0 = 0, m0 = 0, e1 = 0, m1 = 0] = this.edge.subarray(2 * i, 2 * i + 4);
    return (
      (1 + 2 * u) * (1 - u) ** 2 * e0 +
      u * (1 - u) ** 2 * m0 +
      u * u * (3 - 2 * u) * e1 -
      u * u * (1 - u) * m1
    );
  }

  /** The pressure of the edge, with its slope for a cell. */
  private fillEdge(): void {
    const { fluid, range, edge, stepT } = this;
    for (let i = 0; i <= this.nT; i++) {
      if (range.region === "gas") {
        edge[2 * i] = range.pMax;
        continue;
      }
      const { p, slope } = saturationAtTemperature(fluid, (range.TMin + i * stepT) as Temperature);
      edge[2 * i] = p;
      edge[2 * i + 1] = slope * stepT;
    }
  }

  private fillNodes(): void {
    const { nT, nP, nodes, stepT, range } = this;
    for (let i = 0; i <= nT; i++) {
      const T = range.TMin + i * stepT;
      const up = this.column(Math.min(T + TWIST_STEP * stepT, range.TMax));
      const down = this.column(Math.max(T - TWIST_STEP * stepT, range.TMin));
      const here = this.column(T);
      const apart = (up.T - down.T) / stepT;
      for (let j = 0; j <= nP; j++) {
        const k = CORNER * (i * (nP + 1) + j);
        for (const [at, of] of [
          [k, "density"],
          [k + 4, "enthalpy"],
        ] as const) {
          const [value = 0, byX = 0, byZ = 0] = here[of][j] ?? [];
          nodes[at] = value;
          nodes[at + 1] = byX;
          nodes[at + 2] = byZ;
          nodes[at + 3] = ((up[of][j]?.[2] ?? 0) - (down[of][j]?.[2] ?? 0)) / apart;
        }
      }
    }
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
