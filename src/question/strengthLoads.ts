/** The loads of question 5 and the parts they load, in words. */
import { type LoadId, type PathElement, type StrengthAnswer, useFigure } from "../predict/index.js";

/** Loads in words. */
export const loadWords: Readonly<Record<LoadId, string>> = {
  "locked rotor": "locked rotor",
  jammed: "the ball jammed at mid travel",
  opening: "an opening from start to stop",
  closing: "a closing from start to stop",
  turning: "turning",
};

/** What of a part is meant, behind its name. */
export const kindWords: Readonly<Record<PathElement["kind"], string>> = {
  section: "",
  bearing: ", pressure",
  shear: ", shear",
  coupling: "",
  rated: ", rated",
  peak: ", peak",
  momentary: ", momentary",
  stop: "",
};

/** A load of a part: torque over what it bears [-]. */
export interface Use {
  readonly element: PathElement;
  readonly load: LoadId;
  readonly value: number;
}

/** Every known load of some parts at the nominal values. */
export function usesOf({ figures }: StrengthAnswer, elements: readonly PathElement[]): readonly Use[] {
  return elements.flatMap((element) =>
    element.loads.flatMap((load) => {
      const value = figures.nominal[useFigure(element.id, load)] ?? Number.NaN;
      return Number.isNaN(value) ? [] : [{ element, load, value }];
    }),
  );
}

/** The load that uses a part most; undefined where none is known. */
export function worstLoad(answer: StrengthAnswer, element: PathElement): Use | undefined {
  return usesOf(answer, [element]).toSorted((a, b) => b.value - a.value)[0];
}
