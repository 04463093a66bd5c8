/**
 * Closed forms that tell, without a simulation, that a drive cannot open a valve in time. Each is certain:
 * what it refuses, the simulation of the same sample would refuse too (test/seek/exhaustive.test.ts).
 *
 *   stall   the drive at standstill gives less than the valve takes to break away
 *
 *             T_0 = (k i_0 - D_0)/c_0 < F(0) + E + H(0)
 *
 *   time    with no more acceleration than full current without load, and no more speed than the voltage
 *           allows, a stroke over the angle q lasts at least
 *
 *             a = (k i_0 - D)/I          w = V/(k N) + i_0 sqrt(L/(N I'))
 *             t = q/w + w/(2 a)          where the speed w is reached, w^2/(2 a) < q
 *             t = sqrt(2 q/a)            where it is not
 *
 * i_0 = min(V/R, limit) is the greatest current; D and I friction and inertia of the drive, counted at the
 * motor (physics/motion/train.ts). The second term of w is how far the inductance can carry the speed
 * beyond that of no load: with E = L i^2/2 + N I (w - w_0)^2/2 and w_0 = V/(k N), E' = -R i^2 - (friction),
 * so that what i_0 leaves in L at w_0 is all that can go into more speed. I' is the least inertia of the
 * regimes. The time holds only where nothing pushes the ball open: friction and flow together resist at
 * every angle. Derived in docs/theory/seek.md.
 */
import { standstillCurrent } from "../physics/drive/index.js";
import { type EventId, type RigidTrain, timeDefinitions } from "../physics/motion/index.js";
import { availableTorque } from "../predict/index.js";
import type { Resistance } from "../quantity/index.js";
import type { ValveState } from "./tables.js";

/** Rounding never turns a bound into a discard: this share of a figure is given away [-]. */
const givenAway = 1e-9;

/** Whether a drive cannot break a valve away at all. */
export function cannotBreakAway(train: RigidTrain, { breakaway }: ValveState): boolean {
  return breakaway > 0 && availableTorque(train, 0) < breakaway * (1 - givenAway);
}

/** Share of the travel at which an event lies; of the flow's its own mark [-]. */
const shares: Partial<Record<EventId, number>> = {
  "10 % travel": 0.1,
  "90 % travel": 0.9,
  "99 % travel": 0.99,
  "end of travel": 1,
};

/**
 * Shortest opening time that a drive can reach with a valve, by a definition.
 * @returns 0 where nothing can be said [s]
 */
export function leastOpeningTime(train: RigidTrain, state: ValveState, definition: string): number {
  const row = timeDefinitions.find(({ id }) => id === definition);
  if (row === undefined || !(state.leastLoad > 0)) return 0;
  const angle = (event: EventId) =>
    event === "90 % flow" ? (state.mark ?? 0) : (shares[event] ?? 0) * train.travel;
  const way = angle(row.to) - angle(row.from);
  if (!(way > 0)) return 0;
  const speed = greatestSpeed(train);
  const fromRest = angle(row.from) === 0;
  const moving = fromRest ? timeFromRest(way, speed, greatestAcceleration(train)) : way / speed;
  return (moving + (row.from === "command" ? train.deadTime : 0)) * (1 - givenAway);
}

function greatestCurrent({
  openCircuitVoltage,
  resistance,
  supplyResistance,
  currentLimit,
}: RigidTrain): number {
  return standstillCurrent(openCircuitVoltage, (resistance + supplyResistance) as Resistance, currentLimit);
}

/** Acceleration of the stem without load; none where the drive does not turn its own gears [rad/s2]. */
function greatestAcceleration(train: RigidTrain): number {
  const { friction, inertia } = train.forward;
  return Math.max(train.torqueConstant * greatestCurrent(train) - friction, 0) / inertia;
}

function greatestSpeed(train: RigidTrain): number {
  const { openCircuitVoltage, torqueConstant, ratio, inductance, forward, backward, lossless } = train;
  const inertia = Math.min(forward.inertia, backward.inertia, lossless.inertia);
  const beyond = greatestCurrent(train) * Math.sqrt(inductance / (ratio * inertia));
  return openCircuitVoltage / (torqueConstant * ratio) + beyond;
}

/** Time over a way from rest with an acceleration up to a speed. */
function timeFromRest(way: number, speed: number, acceleration: number): number {
  return speed * speed < 2 * acceleration * way
    ? way / speed + speed / (2 * acceleration)
    : Math.sqrt((2 * way) / acceleration);
}
