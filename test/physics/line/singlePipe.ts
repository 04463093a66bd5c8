/** A pipe from a tank to a valve that lets out into a constant pressure, for closed forms. */
import { type LineGrid, type LineNetwork, lineGrid } from "../../../src/physics/line/index.js";
import type { Density, Length, Pressure, Speed } from "../../../src/quantity/index.js";

export interface SinglePipe {
  readonly length: number;
  readonly bore: number;
  readonly a: number;
  readonly rho: number;
  readonly friction?: number;
  readonly unsteady?: number;
  readonly supply: number;
  readonly back: number;
  readonly pv?: number;
  readonly reaches: number;
}

/** Behind the valve a pipe so wide that its impedance does not count. */
export function singlePipe(given: SinglePipe): { readonly network: LineNetwork; readonly grid: LineGrid } {
  const wide = 1000;
  const pv = (given.pv ?? -1e12) as Pressure;
  const pipe = {
    from: 0,
    to: 1,
    length: given.length as Length,
    bore: given.bore as Length,
    waveSpeed: given.a as Speed,
    frictionFactor: given.friction ?? 0,
    unsteady: given.unsteady ?? 0,
  };
  const outlet = {
    ...pipe,
    from: 2,
    to: 3,
    length: (given.length / given.reaches) as Length,
    bore: (given.bore * wide) as Length,
    frictionFactor: 0,
    unsteady: 0,
  };
  const network: LineNetwork = {
    pipes: [pipe, outlet],
    fittings: [
      { kind: "pressure", pressure: given.supply as Pressure, resistance: 0 },
      { kind: "none" },
      { kind: "none" },
      { kind: "pressure", pressure: given.back as Pressure, resistance: 0 },
    ],
    losses: [],
    valve: { from: 1, to: 2 },
    liquid: {
      density: given.rho as Density,
      vapourPressure: pv,
      chokingPressure: pv,
    },
  };
  return { network, grid: exactGrid(network, given.reaches) };
}

/** A grid in whose reaches the first pipe fits exactly. */
function exactGrid(network: LineNetwork, reaches: number): LineGrid {
  const [pipe] = network.pipes;
  if (pipe === undefined) throw new Error("no pipe");
  const any = lineGrid(network.pipes, reaches);
  return {
    ...any,
    step: (pipe.length / pipe.waveSpeed / reaches) as LineGrid["step"],
    reaches: [reaches, 1],
  };
}

/** Flow coefficient that passes a speed in the bore, of a drop. */
export function coefficientFor(given: SinglePipe, speed: number): number {
  const area = (Math.PI / 4) * given.bore ** 2;
  const lost = ((given.friction ?? 0) * given.length * given.rho * speed ** 2) / (2 * given.bore);
  return (given.rho * area * speed) / Math.sqrt(given.rho * (given.supply - given.back - lost));
}
