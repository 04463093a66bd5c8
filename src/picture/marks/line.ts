import type { Numbers, Role } from "../role.js";

/** A series drawn as a line; a value that is not finite breaks it. */
export interface LineMark {
  readonly kind: "line";
  readonly role: Role;
  readonly label?: string;
  readonly x: Numbers;
  readonly y: Numbers;
}
