import type { Numbers, Role } from "../role.js";

/** Single values, each with its uncertainty in y if that is known. */
export interface PointsMark {
  readonly kind: "points";
  readonly role: Role;
  readonly label?: string;
  readonly x: Numbers;
  readonly y: Numbers;
  readonly low?: Numbers;
  readonly high?: Numbers;
}
