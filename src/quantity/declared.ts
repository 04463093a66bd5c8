/** A value as a person declares it: nominal, law of its spread, words and origin. */
import type { Dimension } from "./dimension.js";
import type { Law, Origin } from "./law.js";

/** A declared value. Numbers are SI of the dimension. */
export interface Declared {
  /** Nominal value, SI. */
  readonly value: number;
  readonly law: Law;
  readonly dimension: Dimension;
  /** Unit as typed, for printing back; empty for a bare number. */
  readonly unit: string;
  /** As typed. */
  readonly text: string;
  /** How the program read it, in words. */
  readonly readAs: string;
  readonly origin: Origin;
  readonly because?: string;
  /** Key into the bibliography, or a document of the user. */
  readonly reference?: string;
}

/** A value nobody gave. It has no value field to misuse. */
export interface NotKnown {
  readonly known: false;
  readonly field: string;
}

/** True for a declared value, false for one nobody gave. */
export function isKnown(item: Declared | NotKnown): item is Declared {
  return !("known" in item);
}
