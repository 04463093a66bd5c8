import type { Numbers, Role } from "../role.js";

/** Columns over adjoining intervals of x: `edges` has one entry more than `heights`. */
export interface BarsMark {
  readonly kind: "bars";
  readonly role: Role;
  readonly label?: string;
  readonly edges: Numbers;
  readonly heights: Numbers;
  /** The part of the columns beyond this value is drawn in the role "worse"; a column astride is cut there. */
  readonly beyond?: { readonly value: number; readonly side: "above" | "below" };
}
