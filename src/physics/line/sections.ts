/**
 * One time step of a pipe in full: with unsteady friction, and with sections that are not full of liquid.
 *
 * Where liquid tears apart, a section holds a cavity, and the flows on its two sides differ:
 *
 *   W_to = (C+ - p)/B,  W_from = (p - C-)/B,  dV/dt = (W_from - W_to)/rho
 *
 * Discrete vapour cavities: p = pv while V > 0. Discrete gas cavities: each section holds a little gas,
 * (p - pv) V = constant, and its pressure follows from the two equations together:
 *
 *   2c y^2 + (V + c (2 pv - C+ - C-)) y - G = 0,   y = p - pv,  c = dt/(rho B)
 *
 * Both with the flows at the end of the step (weight one), which damps.
 *
 * Source  [wylie-streeter-1993, ch. 8], gas: [wylie-1984], from memory; unsteady friction as friction.ts
 */

/** How liquid that is torn apart is followed. */
export type CavityModel =
  | { readonly kind: "vapour" }
  /** Gas of this share of the volume at this pressure; 1e-7 at one atmosphere stands for vapour. */
  | { readonly kind: "gas"; readonly share: number; readonly pressure: number };

/** A gas section stands no nearer to the vapour pressure than this [Pa]. */
export const leastGas = 1;

/** Columns of all sections of a line, one after the other, pipe by pipe. Pressures are piezometric, p + rho g z. */
export interface Sections {
  readonly F: Float64Array;
  readonly G: Float64Array;
  /** Pressure and cavity of sections of pipes that are followed in full [Pa], [m3]. */
  readonly p: Float64Array;
  readonly cavity: Float64Array;
  /** Pressure at which liquid tears apart [Pa]. */
  readonly pv: Float64Array;
  /** Envelope of twice the pressure [Pa]. */
  readonly high: Float64Array;
  readonly low: Float64Array;
  /** Flow that arrives from the start and that leaves to the end, and both one step ago [kg/s]. */
  readonly to: Float64Array;
  readonly from: Float64Array;
  readonly toBefore: Float64Array;
  readonly fromBefore: Float64Array;
}

export function sectionsOf(count: number): Sections {
  const column = () => new Float64Array(count);
  return {
    F: column(),
    G: column(),
    p: column(),
    cavity: column(),
    pv: column(),
    high: column(),
    low: column(),
    to: column(),
    from: column(),
    toBefore: column(),
    fromBefore: column(),
  };
}

/** What of a pipe its sections need. */
export interface PipeStep {
  readonly first: number;
  readonly last: number;
  /** Of one reach [Pa/(kg/s)^2]. */
  readonly R: number;
  readonly B: number;
  /** k/2 B [Pa s/kg]. */
  readonly unsteady: number;
  /** Gas of one section, (p - pv) V [Pa m3]; 0 for vapour alone. */
  readonly gas: number;
}

/** Flows on both sides of each section from its waves and pressure, those of the step before kept. */
export function flowsOf(sections: Sections, { first, last, B }: PipeStep): void {
  const { F, G, p, to, from, toBefore, fromBefore } = sections;
  for (let i = first; i <= last; i++) {
    toBefore[i] = to[i] as number;
    fromBefore[i] = from[i] as number;
    from[i] = ((F[i] as number) - (p[i] as number)) / B;
    to[i] = ((p[i] as number) - (G[i] as number)) / B;
  }
}

/** Advances the waves of a pipe by one step, as `sweep`; `settle` must follow. */
export function sweepInFull(sections: Sections, pipe: PipeStep): void {
  const { F, G, to, from, toBefore, fromBefore } = sections;
  const { first, last, R, unsteady } = pipe;
  flowsOf(sections, pipe);
  let arriving = 0;
  for (let i = first; i <= last; i++) {
    const out = from[i] as number;
    const into = to[i] as number;
    let lossOut = R * out * Math.abs(out);
    let lossIn = R * into * Math.abs(into);
    if (unsteady !== 0) {
      const along = i < last ? Math.abs((to[i + 1] as number) - out) : 0;
      const behind = i > first ? Math.abs(into - (from[i - 1] as number)) : 0;
      lossOut += unsteady * (out - (fromBefore[i] as number) + Math.sign(out) * along);
      lossIn += unsteady * (into - (toBefore[i] as number) + Math.sign(into) * behind);
    }
    const leaving = (F[i] as number) - lossOut;
    if (i > first) {
      F[i] = arriving;
      G[i - 1] = (G[i] as number) + lossIn;
    }
    arriving = leaving;
  }
}

/**
 * Pressure and cavity of each inner section from the waves that arrive, which become those that leave.
 * @param share  dt/rho [s m3/kg]
 * @returns  volume of all cavities of the pipe that vapour makes [m3]
 */
export function settle(sections: Sections, pipe: PipeStep, share: number): number {
  const { F, G, p, cavity, high, low, pv: tears } = sections;
  const { first, last, B, gas } = pipe;
  let whole = 0;
  for (let i = first + 1; i < last; i++) {
    const plus = F[i] as number;
    const minus = G[i] as number;
    const pv = tears[i] as number;
    let pressure = 0.5 * (plus + minus);
    const before = cavity[i] as number;
    if (gas > 0) {
      pressure = pv + gasPressure(before, gas, share / B, 2 * pv - plus - minus, 2);
      cavity[i] = gas / (pressure - pv);
      if ((cavity[i] as number) > 0) whole += cavity[i] as number;
    } else if (before > 0 || pressure < pv) {
      const volume = before + (share * (2 * pv - plus - minus)) / B;
      cavity[i] = Math.max(volume, 0);
      if (volume > 0) {
        pressure = pv;
        whole += volume;
      }
    }
    F[i] = 2 * pressure - minus;
    G[i] = 2 * pressure - plus;
    p[i] = pressure;
    if (2 * pressure > (high[i] as number)) high[i] = 2 * pressure;
    if (2 * pressure < (low[i] as number)) low[i] = 2 * pressure;
  }
  return whole;
}

/**
 * Pressure of a gas cavity over the vapour pressure, y > 0 of  m c y^2 + (V + c d) y - G = 0.
 * @param c  dt/(rho B) of one pipe;  @param d  what arrives, below m pv;  @param m  pipes that meet there
 */
export function gasPressure(V: number, gas: number, c: number, d: number, m: number): number {
  const b = V + c * d;
  const root = Math.sqrt(b * b + 4 * m * c * gas);
  return b > 0 ? (2 * gas) / (b + root) : (root - b) / (2 * m * c);
}
