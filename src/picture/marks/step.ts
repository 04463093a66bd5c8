import type { Numbers, Role } from "../role.js";

/** A series that holds each value until the next one, as a command or a counted share does. */
export interface StepMark {
  readonly kind: "step";
  readonly role: Role;
  readonly label?: string;
  readonly x: Numbers;
  readonly y: Numbers;
}
