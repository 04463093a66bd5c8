/** The state of the page of other parts: what a search would try, what it found, the choice that is looked at. */
import { createStore } from "zustand/vanilla";
import type { Notice } from "../../fault/index.js";
import type { ChoiceFile, PeakMargins, SeekAnswer } from "../../seek/index.js";
import type { SeekTold } from "../compute/protocol.js";
import { searchedTexts } from "../compute/texts.js";
import type { Files } from "./history.js";
import { inputKey } from "./inputKey.js";

/** What a search found, and the files that it was made of. */
export interface ShownSearch {
  readonly answer: SeekAnswer;
  readonly peaks: readonly PeakMargins[];
  readonly notices: readonly Notice[];
  readonly files: Files;
  readonly caseId: string;
  /** Of the files that a search reads, and the case. */
  readonly key: string;
}

/** A choice as a state of the dossier of its own. */
export interface ShownChoice extends ChoiceFile {
  readonly files: Files;
  readonly caseId: string;
  /** Key of its answers. */
  readonly key: string;
}

/** What was told of a state of the dossier. */
export interface Told {
  readonly key: string;
  readonly told: SeekTold;
}

/** How the choices are drawn. */
export type SeekView = "lines" | "points";

export interface SeekBench {
  readonly scope: Told | undefined;
  readonly trade: Told | undefined;
  readonly search: ShownSearch | undefined;
  /** A search was broken off here: the next one goes on from there. */
  readonly isBrokenOff: boolean;
  readonly chosen: number | undefined;
  /** The chosen one, once it is written; or why it cannot be. */
  readonly choice: ShownChoice | undefined;
  readonly refused: SeekTold | undefined;
  readonly view: SeekView;
  /** Ids of the axes that are left out of the lines. */
  readonly leftOut: readonly string[];
  /** Ids of the two axes of the points; the first two unless chosen. */
  readonly across: string | undefined;
  readonly upwards: string | undefined;
}

export const seekBench = createStore<SeekBench>(() => ({
  scope: undefined,
  trade: undefined,
  search: undefined,
  isBrokenOff: false,
  chosen: undefined,
  choice: undefined,
  refused: undefined,
  view: "lines",
  leftOut: [],
  across: undefined,
  upwards: undefined,
}));

/** Key of what a search reads. */
export function searchKey(files: Files, caseId: string): string {
  return inputKey(searchedTexts(files), caseId, 0);
}
