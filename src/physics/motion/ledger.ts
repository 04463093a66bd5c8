/**
 * Where the energy of a stroke goes. Each entry is an integral over the stroke (accounts.ts); the
 * residual is what the bookkeeping does not explain, and it belongs to the result.
 *
 *   supplied = supply + copper + motor friction + gears + seat and stem + damping + fluid + stop
 *              + kinetic + magnetic + residual
 */
import type { Energy } from "../../quantity/index.js";

/** Entries in the order in which power passes them; the first is what the source gives. */
export const ledgerEntries = [
  { id: "supplied", label: "given by the source" },
  { id: "supply", label: "lost in battery and cable" },
  { id: "copper", label: "heat in the winding" },
  { id: "motor", label: "friction of the motor" },
  { id: "gears", label: "lost in the gears" },
  { id: "friction", label: "friction of seats, packing and stem" },
  { id: "damping", label: "viscous resistance at the stem" },
  { id: "fluid", label: "work against the flow" },
  { id: "stop", label: "taken by the end stop" },
  { id: "kinetic", label: "still in motion" },
  { id: "magnetic", label: "still in the winding's field" },
] as const;
export type LedgerEntryId = (typeof ledgerEntries)[number]["id"];

/** Index of each entry in the array of sums. */
export const entry = {
  supplied: 0,
  supply: 1,
  copper: 2,
  motor: 3,
  gears: 4,
  friction: 5,
  damping: 6,
  fluid: 7,
  stop: 8,
  kinetic: 9,
  magnetic: 10,
} as const satisfies Record<LedgerEntryId, number>;

/** The books are closed when the residual is at most this share of the largest entry [-]. */
export const ledgerTolerance = 1e-3;

/** Energy ledger of one stroke. */
export interface EnergyLedger {
  readonly entries: Readonly<Record<LedgerEntryId, Energy>>;
  /** Supplied minus all the others. */
  readonly residual: Energy;
  /** Residual over the largest entry, or over a picojoule [-]. */
  readonly relativeResidual: number;
}

/** Less than this has no books to close: the ball trembled [J]. */
const leastEnergy = 1e-12;

/** Closes the books: sums in the order of `ledgerEntries` [J]. */
export function closeLedger(sums: Float64Array): EnergyLedger {
  let residual = sums[0] as number;
  let largest = Math.max(Math.abs(residual), leastEnergy);
  for (let j = 1; j < ledgerEntries.length; j++) {
    const value = sums[j] as number;
    residual -= value;
    largest = Math.max(largest, Math.abs(value));
  }
  const at = (j: number) => (sums[j] ?? 0) as Energy;
  return {
    entries: {
      supplied: at(entry.supplied),
      supply: at(entry.supply),
      copper: at(entry.copper),
      motor: at(entry.motor),
      gears: at(entry.gears),
      friction: at(entry.friction),
      damping: at(entry.damping),
      fluid: at(entry.fluid),
      stop: at(entry.stop),
      kinetic: at(entry.kinetic),
      magnetic: at(entry.magnetic),
    },
    residual: residual as Energy,
    relativeResidual: residual / largest,
  };
}
