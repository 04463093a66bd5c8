/** The steady state of a line: flow of each pipe, pressure of each junction. */
import { refuse } from "../../fault/index.js";
import { headsOf, type LineNetwork, pipeResistance } from "./network.js";

/** Steady flow and pressure. */
export interface SteadyLine {
  /** Of each pipe, from its start to its end [kg/s]. */
  readonly flow: Float64Array;
  /** At each junction [Pa, absolute]. */
  readonly pressure: Float64Array;
  /** Through the valve, from its first junction to its second [kg/s]. */
  readonly valveFlow: number;
}

const mostRounds = 200;
/** Relative change of the flows at which they stand [-]. */
const settled = 1e-10;
/** A flow below this share of the largest is taken as the linear one: in a dead end it falls to nothing [-]. */
const negligible = 1e-4;
/** Flow below which friction counts as that of this flow, so that a dead end has an equation [kg/s]. */
const leastFlow = 1e-9;

interface Link {
  readonly from: number;
  /** -1: a constant pressure. */
  readonly to: number;
  readonly pressure: number;
  resistance: number;
}

/**
 * The steady flow by the linear theory: every loss R W|W| is taken as (R |W|) W of the round before, the balance of all
 * junctions is solved as linear equations, and the flows are the mean of two rounds.
 * @param C   flow coefficient of the valve, W^2 = rho C^2 dp; 0 for a closed one [m2]
 * @param FL  its pressure recovery factor [-]
 * Refuses    a line none of whose ends has a pressure
 * Source     [wood-charles-1972], from memory
 */
export function steadyLine(network: LineNetwork, C: number, FL: number): SteadyLine {
  const { pipes, fittings, losses, valve, liquid } = network;
  const n = fittings.length;
  // Piezometric pressures, in which the balance has no weight; the level is taken off again at the end.
  const head = headsOf(network);
  const g = liquid.density * C * C;
  const choked = (p1: number) => Math.sqrt(Math.max(g * FL * FL * (p1 - liquid.chokingPressure), 0));
  const inside = (from: number, to: number, resistance: number): Link => ({
    from,
    to,
    pressure: 0,
    resistance,
  });
  const throughValve = inside(valve.from, valve.to, Number.POSITIVE_INFINITY);
  const links: Link[] = [
    ...pipes.map((pipe) => inside(pipe.from, pipe.to, pipeResistance(pipe, liquid.density))),
    ...losses.map(({ from, to, resistance }) => inside(from, to, resistance)),
    throughValve,
    ...fittings.flatMap((fitting, from): Link[] =>
      fitting.kind === "pressure"
        ? [{ from, to: -1, pressure: fitting.pressure + (head[from] ?? 0), resistance: fitting.resistance }]
        : [],
    ),
  ];
  if (!links.some(({ to }) => to < 0))
    refuse(
      "impossible-value",
      "a line without a pressure at any end",
      "Its steady state has no pressure.",
      "Give a tank or an outlet.",
    );
  const flow = new Float64Array(links.length).fill(1);
  const pressure = new Float64Array(n);
  const matrix = Array.from({ length: n }, () => new Float64Array(n + 1));
  let greatest = 0;
  for (let round = 0; round < mostRounds; round++) {
    if (g > 0) throughValve.resistance = Math.max(1 / g, chokedResistance());
    for (const row of matrix) row.fill(0);
    links.forEach(({ from, to, pressure: outside, resistance }, l) => {
      const y = 1 / Math.max(resistance * Math.max(Math.abs(flow[l] ?? 0), leastFlow), tiny);
      const row = matrix[from];
      if (row === undefined || y === 0) return;
      row[from] = (row[from] ?? 0) + y;
      if (to < 0) row[n] = (row[n] ?? 0) + y * outside;
      else {
        const other = matrix[to];
        row[to] = (row[to] ?? 0) - y;
        if (other === undefined) return;
        other[to] = (other[to] ?? 0) + y;
        other[from] = (other[from] ?? 0) - y;
      }
    });
    solve(matrix, pressure);
    let change = 0;
    let largest = 0;
    links.forEach(({ from, to, pressure: outside, resistance }, l) => {
      const before = flow[l] ?? 0;
      const drop = (pressure[from] ?? 0) - (to < 0 ? outside : (pressure[to] ?? 0));
      const linear = drop / Math.max(resistance * Math.max(Math.abs(before), leastFlow), tiny);
      const next = round === 0 || Math.abs(linear) < negligible * greatest ? linear : (linear + before) / 2;
      flow[l] = next;
      change = Math.max(change, Math.abs(next - before));
      largest = Math.max(largest, Math.abs(next));
    });
    greatest = largest;
    if (change <= settled * largest) break;
  }
  return {
    flow: flow.slice(0, pipes.length),
    pressure: pressure.map((at, j) => at - (head[j] ?? 0)),
    valveFlow: flow[pipes.length + losses.length] ?? 0,
  };

  /** Of a choked valve: that with which the present drop gives its highest flow. */
  function chokedResistance(): number {
    const p1 = pressure[valve.from] ?? 0;
    const drop = p1 - (pressure[valve.to] ?? 0);
    const most = choked(p1 - (head[valve.from] ?? 0));
    return drop > 0 && most > 0 && g * drop > most * most ? drop / (most * most) : 0;
  }
}

/** A resistance of nothing is taken as this [Pa s/kg]. */
const tiny = 1e-3;

/** Gauss elimination with partial pivoting; the last column is the right-hand side. */
function solve(matrix: readonly Float64Array[], into: Float64Array): void {
  const n = matrix.length;
  const rows = [...matrix];
  for (let k = 0; k < n; k++) {
    let pivot = k;
    for (let i = k + 1; i < n; i++)
      if (Math.abs(rows[i]?.[k] ?? 0) > Math.abs(rows[pivot]?.[k] ?? 0)) pivot = i;
    const row = rows[pivot] as Float64Array;
    rows[pivot] = rows[k] as Float64Array;
    rows[k] = row;
    const head = row[k] ?? 0;
    if (head === 0) continue;
    for (let i = k + 1; i < n; i++) {
      const other = rows[i] as Float64Array;
      const share = (other[k] ?? 0) / head;
      if (share !== 0) for (let j = k; j <= n; j++) other[j] = (other[j] ?? 0) - share * (row[j] ?? 0);
    }
  }
  for (let i = n - 1; i >= 0; i--) {
    const row = rows[i] as Float64Array;
    let sum = row[n] ?? 0;
    for (let j = i + 1; j < n; j++) sum -= (row[j] ?? 0) * (into[j] ?? 0);
    const head = row[i] ?? 0;
    into[i] = head === 0 ? 0 : sum / head;
  }
}
