/** The interval of current limits in which torque margin and strength hold together, of question 5. */
import {
  largestCurrentFigure,
  leastCurrentFigure,
  type PathElement,
  type StrengthAnswer,
  useFigure,
} from "../predict/index.js";
import { valueWords } from "./words.js";

/** The part that bears the least current at the locked rotor, at the nominal values. */
function limiting(answer: StrengthAnswer): PathElement | undefined {
  const use = ({ id }: PathElement) => answer.figures.nominal[useFigure(id, "locked rotor")] ?? 0;
  return answer.elements
    .filter(({ loads, kind }) => kind !== "stop" && loads.includes("locked rotor"))
    .toSorted((a, b) => use(b) - use(a))[0];
}

/** Ends of the interval of current limits at the nominal values, and what bears no more. */
export interface Window {
  /** NaN where no current gives the torque margin. */
  readonly least: number;
  /** Infinite where the voltage allows no more than is borne. */
  readonly most: number;
  readonly part: string;
}

/** @returns  of the nominal valve */
export function windowOf(answer: StrengthAnswer): Window {
  const { figures, peaks } = answer;
  const least = figures.nominal[leastCurrentFigure] ?? Number.NaN;
  const byRotor = figures.nominal[largestCurrentFigure] ?? Number.NaN;
  if (peaks !== undefined && peaks.largest_A < byRotor)
    return { least, most: peaks.largest_A, part: `${peaks.part} in jam and strokes` };
  return { least, most: byRotor, part: `${limiting(answer)?.name ?? ""} at the locked rotor` };
}

/** Why no current limit will do; undefined where one does. */
export function noWindow({ least, most, part }: Window): string | undefined {
  const borne = Number.isFinite(most)
    ? `${part} bears at most ${ampere(most)}`
    : "all that the voltage allows is borne";
  if (Number.isNaN(least))
    return `no current limit gives the torque margin: the voltage is spent first; ${borne}`;
  return least > most
    ? `no current limit satisfies both: the torque margin needs at least ${ampere(least)}, and ${borne}`
    : undefined;
}

/** A current in words. */
export function ampere(current: number): string {
  return valueWords(current, undefined, "current", "A");
}
