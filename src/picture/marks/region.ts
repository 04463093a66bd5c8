import type { Role } from "../role.js";

/** A shaded part of the figure, bounded in x, in y or in both. */
export interface RegionMark {
  readonly kind: "region";
  readonly role: Role;
  readonly label?: string;
  readonly x?: readonly [number, number];
  readonly y?: readonly [number, number];
}
