/** Scales of the compliant train: its ratio, its inertia at the stem, and the periods of its swings. */
import type { CompliantTrain } from "./train.js";

/** Speed of the motor over that of the stem [-]. */
export function stemRatio({ links }: CompliantTrain): number {
  return links.reduce((product, { ratio }) => product * ratio, 1);
}

/** Inertia of all bodies at the stem, without loss [kg m2]. */
export function stemInertia({ bodies, links }: CompliantTrain): number {
  let sum = 0;
  bodies.forEach(({ inertia }, b) => {
    const ratio = links.slice(b).reduce((product, link) => product * link.ratio, 1);
    sum += inertia * ratio * ratio;
  });
  return sum;
}

/** Stiffness of all links in series at the stem, without backlash [N m/rad]. */
export function stemStiffness({ links }: CompliantTrain): number {
  let compliance = 0;
  links.forEach(({ stiffness }, l) => {
    const behind = links.slice(l + 1).reduce((product, link) => product * link.ratio, 1);
    compliance += 1 / (stiffness * behind * behind);
  });
  return 1 / compliance;
}

/**
 * Periods of the slowest swing, all inertia against all springs with the ball held, and of the stiffest pair
 * of neighbours [s].
 */
export function slowestPeriod(train: CompliantTrain): { readonly slowest: number; readonly fastest: number } {
  const slowest = 2 * Math.PI * Math.sqrt(stemInertia(train) / stemStiffness(train));
  let fastest = slowest;
  train.links.forEach(({ stiffness, ratio }, l) => {
    const a = (train.bodies[l]?.inertia ?? 0) * ratio * ratio;
    const b = train.bodies[l + 1]?.inertia ?? 0;
    fastest = Math.min(fastest, 2 * Math.PI * Math.sqrt((a * b) / (a + b) / stiffness));
  });
  return { slowest, fastest };
}
