/** A choice as a valve file of its own. */
import { partsOnFile, readDossier, readParts, variantText } from "../dossier/index.js";
import { refuse } from "../fault/index.js";
import type { SeekOrder } from "./order.js";
import type { SeekPlan } from "./plan.js";
import { type ChoiceNames, choiceAt, namesOf, partsOf, spaceOf } from "./space.js";

export interface ChoiceFile {
  readonly index: number;
  readonly names: ChoiceNames;
  /** A changed copy of the valve file: what is not exchanged stays as it was, comments with it. */
  readonly text: string;
}

/**
 * The valve file with the parts of a choice.
 * @param choice  its number, as printed by the search
 * Refuses        a number that no choice of the dossier has
 */
export function choiceFile(
  {
    order: { valve },
    declared,
    space,
  }: Pick<SeekPlan, "declared" | "space"> & {
    readonly order: Pick<SeekOrder, "valve">;
  },
  choice: number | string,
): ChoiceFile {
  const index = /^\d{1,9}$/.test(String(choice)) ? Number(choice) : Number.NaN;
  if (!(index < space.count))
    refuse(
      "seek-variant-unknown",
      `there is no choice ${choice}`,
      `The choices of this dossier have the numbers 0 to ${space.count - 1}.`,
      "Take a number that `coldturn seek` prints of the same dossier",
    );
  const made = choiceAt(space, index);
  const name = declared.valve.name ?? "the valve";
  const why = `${name} with the parts of choice ${index} of coldturn seek`;
  return {
    index,
    names: namesOf(space, made),
    text: variantText(valve.text, declared, partsOf(space, made), why),
  };
}

/** The same without a plan, which takes longer to make: for one look at one choice. */
export function choiceOf({ valve, parts }: Pick<SeekOrder, "valve" | "parts">, choice: number): ChoiceFile {
  const { dossier } = readDossier({ valve, parts });
  const space = spaceOf(dossier, partsOnFile(readParts(parts).parts));
  return choiceFile({ order: { valve }, declared: dossier, space }, choice);
}
