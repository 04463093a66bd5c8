import type { Role } from "../role.js";

/** A bound: a straight line across the figure, with teeth on the side that is not allowed. */
export interface LimitMark {
  readonly kind: "limit";
  /** The axis on which the value lies: "y" draws a level line, "x" an upright one. */
  readonly axis: "x" | "y";
  readonly value: number;
  readonly label: string;
  /** Values on this side are not allowed; left out when neither side is. */
  readonly forbidden?: "above" | "below";
  /** "limit" unless given. */
  readonly role?: Role;
}
