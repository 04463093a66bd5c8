import type { Role } from "../role.js";

/** A moment (or angle): an upright line, its label above the figure, its uncertainty as a strip. */
export interface EventMark {
  readonly kind: "event";
  readonly role: Role;
  readonly x: number;
  readonly label: string;
  readonly low?: number;
  readonly high?: number;
}
