/**
 * Throat over bore area at each opening, for the samples of a band. It depends on ball over bore
 * radius alone, so samples of one travel share two tables a little apart and lie on the line through
 * them; the exact areas would take most of a sample's time.
 */
import { throatRatiosOverAngles } from "../physics/flow/index.js";
import type { Angle, Length } from "../quantity/index.js";

/** Relative distance of the two tables, and how far from the first they are used [-]. */
const tabledStep = 0.01;
const tabledReach = 0.02;

/** The tables belong to the nominal ball and bore, so that no sample depends on the one before it. */
export class ThroatRatios {
  private readonly here: Float64Array;
  private readonly beside: Float64Array;
  private readonly ratios: Float64Array;
  private tabledTravel = Number.NaN;

  /** @param slenderness nominal ball over bore diameter [-];  @param count number of openings */
  constructor(
    private readonly slenderness: number,
    count: number,
  ) {
    this.here = new Float64Array(count);
    this.beside = new Float64Array(count);
    this.ratios = new Float64Array(count);
  }

  /**
   * @param slenderness  ball over bore diameter of the sample, above root 2 [-]
   * @param travel       opening at which the bore lines up with the pipe [rad]
   * @param angles       openings from closed, evenly up to the travel [rad]
   * @returns            ratios, 0 to 1, in a buffer that the next call uses again [-]
   * Refuses             a bore that its ball cannot shut, where it lies beyond the tables.
   */
  ratiosAt(slenderness: number, travel: number, angles: Float64Array): Float64Array {
    const { ratios, here, beside } = this;
    const distance = slenderness / this.slenderness - 1;
    if (!(Math.abs(distance) < tabledReach)) {
      throatRatiosOverAngles(portOf(slenderness, travel), angles, ratios);
      return ratios;
    }
    if (travel !== this.tabledTravel) {
      throatRatiosOverAngles(portOf(this.slenderness, travel), angles, here);
      throatRatiosOverAngles(portOf(this.slenderness * (1 + tabledStep), travel), angles, beside);
      this.tabledTravel = travel;
    }
    const share = distance / tabledStep;
    for (let j = 0; j < ratios.length; j++) {
      const base = here[j] ?? 0;
      ratios[j] = Math.max(base + share * ((beside[j] ?? 0) - base), 0);
    }
    return ratios;
  }
}

function portOf(
  slenderness: number,
  travel: number,
): { ballRadius: Length; boreRadius: Length; travel: Angle } {
  return { ballRadius: slenderness as Length, boreRadius: 1 as Length, travel: travel as Angle };
}
