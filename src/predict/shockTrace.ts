/** The torques of the elements over the time of a piece of a stroke, for a picture. */
import type { ChainOrder, TorqueElement } from "../physics/compliant/index.js";

/** One piece: rows of one length. */
export interface TracedPiece {
  readonly piece: "start" | "stop";
  /** From the command [s]. */
  readonly time_s: readonly number[];
  /** Torque of each link of the train at its output, ahead of the ball the last [N m]. */
  readonly link_Nm: readonly (readonly number[])[];
  /** Speed at the output of each link over that of the stem [-]. */
  readonly ratio: readonly number[];
  readonly stop_Nm: readonly number[];
  /** Of the ball [rad/s]. */
  readonly ballSpeed_rad_s: readonly number[];
  readonly elements: readonly TorqueElement[];
}

interface Rows {
  readonly piece: "start" | "stop";
  readonly time_s: number[];
  readonly link_Nm: number[][];
  ratio: readonly number[];
  readonly stop_Nm: number[];
  readonly ballSpeed_rad_s: number[];
  readonly elements: readonly TorqueElement[];
}

/** Points of a step that are kept: its path is a curve. */
const points = [0, 0.5, 1] as const;

export class ShockTrace {
  readonly pieces: Rows[] = [];

  /** What a run is to call after each step. */
  watch(piece: "start" | "stop", elements: readonly TorqueElement[]): NonNullable<ChainOrder["watch"]> {
    const links = Math.max(...elements.map(({ link }) => link)) + 1;
    const rows: Rows = {
      piece,
      time_s: [],
      link_Nm: Array.from({ length: links }, () => []),
      ratio: [],
      stop_Nm: [],
      ballSpeed_rad_s: [],
      elements,
    };
    this.pieces.push(rows);
    let y: Float64Array | undefined;
    return (step, equations, t, h, share) => {
      if (y === undefined) {
        y = new Float64Array(equations.size);
        rows.ratio = equations.train.links.map((_, l, all) =>
          all.slice(l + 1).reduce((product, { ratio }) => product * ratio, 1),
        );
      }
      for (const point of points) {
        step.along(point * share, y);
        equations.torques(y);
        rows.time_s.push(t + point * share * h);
        rows.link_Nm.forEach((row, l) => {
          row.push(equations.torque[l] ?? Number.NaN);
        });
        rows.stop_Nm.push(equations.stopTorque(y));
        rows.ballSpeed_rad_s.push(y[equations.bodies + equations.ball] ?? Number.NaN);
      }
    };
  }
}
