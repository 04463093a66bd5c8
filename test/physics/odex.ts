/** The general-purpose integrator of the second roads: odex, Gragg, Bulirsch and Stoer's extrapolation. */
import { createRequire } from "node:module";

export type Rates = (x: number, y: number[]) => number[];

export interface Solver {
  absoluteTolerance: number;
  relativeTolerance: number;
  maxStepSize: number;
  initialStepSize: number;
  maxSteps: number;
  solve(
    rates: Rates,
    from: number,
    y: number[],
    to: number,
    observe?: (n: number, before: number, x: number, y: number[]) => boolean | undefined,
  ): { y: number[]; outcome: number };
}

// Its own type source does not compile under this project's settings.
export const odex = createRequire(import.meta.url)("odex") as { Solver: new (n: number) => Solver };
