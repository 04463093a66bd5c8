/**
 * Geometry of a round bore through a ball, turned away from a round seat opening of equal radius.
 *
 * The bore's rim and the seat opening are equal circles on the ball, seen from its centre under the
 * half angle b, sin b = r/R. Turned by the angle a from wide open their caps overlap in a lens.
 * With s = R cos b tan(a/2), the distance of the lens' chord from the middle of either circle,
 * every area below is elementary (docs/theory/flow.md, "Port geometry"):
 *
 *   segment(s) = r^2 acos(s/r) - s sqrt(r^2 - s^2)
 *   throat, projected on the plane normal to the bisector   2 cos(a/2) segment(s)
 *   seen along the pipe                                     (1 + cos a) segment(s)
 */
import { refuse } from "../../fault/index.js";
import { type Angle, type Area, formatQuantity, type Length, requirePositive } from "../../quantity/index.js";

/** A ball and its bore. */
export interface PortGeometry {
  /** Ball radius R [m]. */
  readonly ballRadius: Length;
  /** Bore radius r, 0 < r < R / sqrt 2: a wider bore would leave a shut ball open [m]. */
  readonly boreRadius: Length;
}

/**
 * Throat of one opening: the lens projected on the plane normal to the bisector of bore and pipe.
 *
 *   A = 2 cos(a/2) (r^2 acos(s/r) - s sqrt(r^2 - s^2)),   s = R cos b tan(a/2)
 *
 * @param turn  angle a from wide open; the lens is even in it [rad]
 * @returns     area, pi r^2 wide open, 0 from the turn 2 b on [m2]
 * Refuses      a bore that does not fit the ball.
 * Source       derived in docs/theory/flow.md, "Port geometry".
 */
export function throatArea(port: PortGeometry, turn: Angle): Area {
  return (2 * Math.cos(turn / 2) * lensSegment(port, turn)) as Area;
}

/** Opening seen along the pipe, (1 + cos a) segment(s) [m2]; cos(a/2) times the throat. Arguments as `throatArea`. */
export function areaSeenAlongPipe(port: PortGeometry, turn: Angle): Area {
  return ((1 + Math.cos(turn)) * lensSegment(port, turn)) as Area;
}

/**
 * Lens on the surface of the ball.
 *
 *   A = 2 R^2 (pi - acos((cos a - cos^2 b)/sin^2 b) - 2 cos b acos((cos b - cos a cos b)/(sin a sin b)))
 *
 * Arguments as `throatArea`; wide open it is the cap 2 pi R^2 (1 - cos b), which exceeds the bore.
 * Source  intersection of two equal spherical caps, derived in docs/theory/flow.md, "Port geometry".
 */
export function sphericalLensArea(port: PortGeometry, turn: Angle): Area {
  const b = boreHalfAngle(port);
  const a = Math.abs(turn);
  const R2 = port.ballRadius ** 2;
  if (a >= 2 * b) return 0 as Area;
  if (a === 0) return (2 * Math.PI * R2 * (1 - Math.cos(b))) as Area;
  const corner = Math.acos(clamped((Math.cos(a) - Math.cos(b) ** 2) / Math.sin(b) ** 2));
  const edge = Math.acos(clamped(((1 - Math.cos(a)) / Math.sin(a)) * (Math.cos(b) / Math.sin(b))));
  return (2 * R2 * (Math.PI - corner - 2 * Math.cos(b) * edge)) as Area;
}

/**
 * Flat lens of two circles of radius r a distance 2 R sin(a/2) apart: the usual approximation.
 *
 *   A = 2 r^2 acos(s/2r) - (s/2) sqrt(4 r^2 - s^2),   s = 2 R sin(a/2)
 *
 * It closes late and lies below the throat in between, 22 % at 45 deg for R/r = 1.5; kept to be
 * compared with, not used. Arguments as `throatArea`.
 * Source  intersection of two equal circles, derived in docs/theory/flow.md, "Port geometry".
 */
export function flatLensArea(port: PortGeometry, turn: Angle): Area {
  boreHalfAngle(port);
  const r = port.boreRadius;
  const s = 2 * port.ballRadius * Math.sin(Math.abs(turn) / 2);
  if (s >= 2 * r) return 0 as Area;
  return (2 * r * r * Math.acos(s / (2 * r)) - (s / 2) * Math.sqrt(4 * r * r - s * s)) as Area;
}

/**
 * Opening at which the ball first passes fluid: pi/2 - 2 asin(r/R) from closed.
 *
 * @returns  angle from closed, for a travel of a quarter turn [rad]
 * Refuses   a bore that does not fit the ball.
 * Valid for a seat that seals on the rim of an opening of bore radius; a seat of larger contact
 *           circle opens earlier into the body but the throat is the same.
 */
export function firstOpeningAngle(port: PortGeometry): Angle {
  return (Math.PI / 2 - 2 * boreHalfAngle(port)) as Angle;
}

/** Half angle b = asin(r/R) under which the bore's rim is seen from the ball's centre [rad]. */
function boreHalfAngle(port: PortGeometry): number {
  const { ballRadius, boreRadius } = port;
  requirePositive(ballRadius, "ball radius", "length", "It is a length.");
  requirePositive(boreRadius, "bore radius", "length", "It is a length.");
  if (!(boreRadius * Math.SQRT2 < ballRadius)) {
    refuse(
      "geometry-contradicts",
      `a bore of ${formatQuantity(2 * boreRadius, "length")} in a ball of ${formatQuantity(2 * ballRadius, "length")} leaves the shut valve open`,
      "A shut ball covers the seat only if the bore is below 0.707 of the ball diameter.",
      "Check bore and ball diameter; full-bore balls have a ball diameter of 1.45 to 1.7 bores.",
    );
  }
  return Math.asin(boreRadius / ballRadius);
}

/** Segment of the bore's circle beyond the lens' chord [m2]. */
function lensSegment(port: PortGeometry, turn: Angle): number {
  const b = boreHalfAngle(port);
  const a = Math.abs(turn);
  if (a >= 2 * b) return 0;
  const r = port.boreRadius;
  const s = port.ballRadius * Math.cos(b) * Math.tan(a / 2);
  return r * r * Math.acos(clamped(s / r)) - s * Math.sqrt(Math.max(0, r * r - s * s));
}

function clamped(cosine: number): number {
  return Math.min(1, Math.max(-1, cosine));
}
