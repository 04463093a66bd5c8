/**
 * Axial load of the ball on its seats, and the friction that follows.
 *
 * Floating ball: the drop over the contact circle pushes the ball onto the seat at the lower
 * pressure; preload acts on both seats while the ball moves freely. Trunnion ball: the bearings
 * carry the ball, and pressure acts on the seat rings between body seal and contact circle.
 */
import { refuse } from "../../fault/index.js";
import {
  type Force,
  formatQuantity,
  type Length,
  type PressureDifference,
  requireNotNegative,
  requirePositive,
} from "../../quantity/index.js";
import { ringLever } from "./ring.js";
import { noLoad, type TrunnionSupport, type TurningInputs, type TurningTerm } from "./term.js";

/** Loads of the two seats, named by the pressure on their side of the ball. */
export interface SeatLoads {
  /** On the seat at the lower pressure: the downstream one in normal flow [N]. */
  readonly lowPressureSide: Force;
  /** On the seat at the higher pressure [N]. */
  readonly highPressureSide: Force;
}

/**
 * Seat loads of a floating ball.
 *
 *   F_low = pi r^2 |dp| + F_0,   F_high = share F_0
 *
 * @param r      radius of the contact circle, > 0 [m]
 * @param dp     pressure drop across the valve, of either sign [Pa]
 * @param F0     preload of each seat, >= 0 [N]
 * @param share  share of the preload that the seat at the higher pressure keeps, 0 to 1 [-]; 1 as
 *               long as the ball moves freely, the higher torque
 * Source        valve design handbooks [lyons-1982], from memory.
 */
export function floatingSeatLoads(r: Length, dp: PressureDifference, F0: Force, share: number): SeatLoads {
  requireNotNegative(F0, "seat preload", "force", "A seat pushes and does not pull.");
  return {
    lowPressureSide: (floatingArea(r) * Math.abs(dp) + F0) as Force,
    highPressureSide: (keptShare(share) * F0) as Force,
  };
}

/**
 * Seat loads of a trunnion ball with spring-energised seats.
 *
 *   F_seat = F_0 + pi (r_seal^2 - r^2) |dp|  for each seat that pressure pushes on
 *
 * @param support  the trunnion and its seats
 * @param r        radius of the contact circle, 0 < r <= r_seal [m]
 * @param dp       pressure drop across the valve, of either sign [Pa]
 * @param F0       spring load of each seat, >= 0 [N]
 * Refuses         a body seal inside the contact circle: pressure would lift the seat off.
 * Source          valve design handbooks [lyons-1982], from memory.
 */
export function trunnionSeatLoads(
  support: TrunnionSupport,
  r: Length,
  dp: PressureDifference,
  F0: Force,
): SeatLoads {
  requireNotNegative(F0, "seat preload", "force", "A seat pushes and does not pull.");
  const pressed = (F0 + trunnionSeatArea(support, r) * Math.abs(dp)) as Force;
  return { highPressureSide: pressed, lowPressureSide: support.pressurisedSeats === 2 ? pressed : F0 };
}

/** Load of the trunnion bearings, pi r_seal^2 |dp| [N]. Source [lyons-1982], from memory. */
export function trunnionLoad(support: TrunnionSupport, dp: PressureDifference): Force {
  return (trunnionArea(support) * Math.abs(dp)) as Force;
}

/** Seat friction by preload, both seats. */
export const seatPreloadTerm: TurningTerm = {
  id: "seat-preload",
  name: "seats, preload",
  character: "friction",
  breakaway: { ratio: "seat", dwell: true },
  marginClass: "variable",
  motorisationClass: "friction",
  load: (inputs) => {
    const { support, seatPreload } = inputs;
    requireNotNegative(seatPreload, "seat preload", "force", "A seat pushes and does not pull.");
    const seats = support.kind === "floating" ? 1 + keptShare(support.preloadKept) : 2;
    return { ...noLoad, constant: seatTorquePerForce(inputs) * seats * seatPreload };
  },
};

/** Seat friction by the pressure drop. */
export const seatPressureTerm: TurningTerm = {
  id: "seat-pressure",
  name: "seats, pressure",
  character: "friction",
  breakaway: { ratio: "seat", dwell: true },
  marginClass: "variable",
  motorisationClass: "friction",
  load: (inputs) => {
    const { support, seatContactRadius: r } = inputs;
    const area =
      support.kind === "floating" ? floatingArea(r) : support.pressurisedSeats * trunnionSeatArea(support, r);
    return { ...noLoad, perDrop: seatTorquePerForce(inputs) * area };
  },
};

/** Area on which the drop pushes a trunnion ball into its bearings [m2]. */
export function trunnionArea(support: TrunnionSupport): number {
  requirePositive(support.sealRadius, "seat seal radius", "length", "It is a length.");
  return Math.PI * support.sealRadius ** 2;
}

function seatTorquePerForce(inputs: TurningInputs): number {
  requireNotNegative(inputs.seatFriction, "seat friction coefficient", "ratio", "Friction opposes motion.");
  return inputs.seatFriction * ringLever(inputs.ballRadius, inputs.seatContactRadius);
}

function floatingArea(r: Length): number {
  requirePositive(r, "seat contact radius", "length", "It is a length.");
  return Math.PI * r * r;
}

function trunnionSeatArea(support: TrunnionSupport, r: Length): number {
  requirePositive(r, "seat contact radius", "length", "It is a length.");
  if (!(support.sealRadius >= r)) {
    refuse(
      "geometry-contradicts",
      `seat seal radius ${formatQuantity(support.sealRadius, "length")} lies inside the contact circle of ${formatQuantity(r, "length")}`,
      "Pressure holds a trunnion seat on the ball only if its body seal lies outside the contact circle.",
      "Check seal diameter and seat contact diameter.",
    );
  }
  return Math.PI * (support.sealRadius ** 2 - r * r);
}

function keptShare(share: number): number {
  if (share >= 0 && share <= 1) return share;
  return refuse(
    "impossible-value",
    `share of preload kept by the seat at the higher pressure is ${share}`,
    "It lies between 0 (seat unloaded) and 1 (full preload).",
    "Write 1 for a ball that moves freely, the choice of the higher torque.",
  );
}
