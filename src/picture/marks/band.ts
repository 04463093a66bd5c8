import type { Numbers, Role } from "../role.js";

/** The area between two series over the same x. */
export interface BandMark {
  readonly kind: "band";
  readonly role: Role;
  readonly label?: string;
  readonly x: Numbers;
  readonly low: Numbers;
  readonly high: Numbers;
}
