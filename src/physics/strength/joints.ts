/**
 * Joints that pass a torque on from one part to the next: pressure on their faces, shear in what
 * stands across. Each is a torque over a resistance [m3]:
 *
 *   p_max = T / B,   tau = T / S
 *
 * Statics of rigid parts without clearance: pressure grows straight from the axis outwards where a face
 * turns about its own middle. [decker-2018, joints of shaft and hub, forms from memory]
 *
 * To add a joint: its function here, its line in the list of kinds of the valve file
 * (dossier/strengthFields.ts) and in predict/strengthJoints.ts, and its statics in the test.
 */
import type { Force, Length, Torque } from "../../quantity/index.js";

/** Torque over greatest pressure in the shaft and in the hub, and over greatest shear; infinite where a joint has none of it [m3]. */
export interface JointResistance {
  readonly shaft: number;
  readonly hub: number;
  readonly shear: number;
}

/** Two parts that press on each other with the same faces. */
const alike = (bearing: number, shear: number): JointResistance => ({ shaft: bearing, hub: bearing, shear });

const none = Number.POSITIVE_INFINITY;

/**
 * Tongue of the stem in a slot of the ball: half of each face bears, from the axis outwards.
 *
 *   p_max = 6 T / (L b^2)
 *
 * @param b  length of the tongue across the stem;  @param L  depth to which it stands in the slot
 * Derived in docs/theory/strength.md. The tongue's own torsion is a section of the stem.
 */
export function tongueJoint(b: Length, L: Length): JointResistance {
  return alike((L * b ** 2) / 6, none);
}

/** Square of side a in a square hole over the length L, p_max = 3 T / (L a^2): four faces as the tongue's two. */
export function squareJoint(a: Length, L: Length): JointResistance {
  return alike((L * a ** 2) / 3, none);
}

/**
 * Round with two flats in a hole of the same shape, p_max = 6 T / (L c^2) on flats of width c.
 * @param d  diameter;  @param h  depth of each flat: c = 2 sqrt(h (d - h))
 */
export function twoFlatsJoint(d: Length, h: Length, L: Length): JointResistance {
  return tongueJoint((2 * Math.sqrt(h * (d - h))) as Length, L);
}

/** What each of several keys carries of an even share [-]. */
const unevenShare = 0.75;

/** A parallel key. */
export interface ParallelKey {
  readonly shaftDiameter: Length;
  readonly width: Length;
  readonly height: Length;
  /** Bearing length, without round ends. */
  readonly length: Length;
  /** Keys around the shaft. */
  readonly count: number;
  /** How deep it sits in the shaft; half of its height unless given. */
  readonly depth?: Length;
}

/**
 * Parallel key: what of its height h stands in shaft and in hub bears there, t and h - t,
 *
 *   p_shaft = 2 T / (n d t L),   p_hub = 2 T / (n d (h - t) L),   tau = 2 T / (n d w L)
 *
 * More than one share unevenly: each counts as three quarters, n = 1.5 of two.
 *
 * Source [budynas-nisbett-2011, example 7-6], where t = h/2; [din-6892-2012], share of two keys, from memory
 */
export function keyJoint(key: ParallelKey): JointResistance {
  const { shaftDiameter: d, width, height, length, count, depth = height / 2 } = key;
  const keys = count > 1 ? unevenShare * count : count;
  const on = (bears: number) => (keys * d * bears * length) / 2;
  return { shaft: on(depth), hub: on(height - depth), shear: on(width) };
}

/**
 * Pin across shaft and hub, sheared in two planes,
 *
 *   p_shaft = 6 T / (a d^2),   p_hub = 4 T / (a (D^2 - d^2)),   tau = 4 T / (pi a^2 d)
 *
 * @param a  diameter of the pin;  @param d  of the shaft;  @param D  outer one of the hub, > d
 */
export function pinJoint(a: Length, d: Length, D: Length): JointResistance {
  return {
    shaft: (a * d ** 2) / 6,
    hub: (a * (D ** 2 - d ** 2)) / 4,
    shear: (Math.PI * a ** 2 * d) / 4,
  };
}

/** A spline, involute or straight. */
export interface Spline {
  readonly pitchDiameter: Length;
  readonly teeth: number;
  /** Height over which the teeth touch, and their thickness at the pitch circle. */
  readonly height: Length;
  readonly thickness: Length;
  readonly length: Length;
  /** Share of the teeth that carry, a quarter to a half unless lapped [-]. */
  readonly sharing: number;
}

/**
 * Spline: of z teeth the share k carries,
 *
 *   p = 2 T / (D_p z k h L),   tau = 2 T / (D_p z k t L)
 *
 * Source [dudley-1957], from memory, whose 4 in place of the second 2 is a share of half the teeth
 */
export function splineJoint(spline: Spline): JointResistance {
  const { pitchDiameter, teeth, height, thickness, length, sharing } = spline;
  const carrying = pitchDiameter * teeth * sharing * length;
  return alike((carrying * height) / 2, (carrying * thickness) / 2);
}

/**
 * Torque that set screws hold by friction and bite, n F d/2.
 * @param force  holding force of one screw, of its maker or a test;  @param d  shaft diameter
 * Source [budynas-nisbett-2011, sec. 7-7]
 */
export function setScrewTorque(count: number, force: Force, d: Length): Torque {
  return ((count * force * d) / 2) as Torque;
}
