import type { Role } from "../role.js";

/** A few words beside a place in the figure. */
export interface NoteMark {
  readonly kind: "note";
  readonly x: number;
  readonly y: number;
  readonly text: string;
  /** "neutral" unless given. */
  readonly role?: Role;
}
