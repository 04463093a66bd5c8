/** The state of the page for a component. */
import { useStore } from "zustand";
import { useShallow } from "zustand/react/shallow";
import {
  type ShownAnswer,
  shownAnswer,
  shownAnswers,
  type Workbench,
  workbench,
} from "../state/workbench.js";

/** Part of the state. */
export function useBench<T>(part: (bench: Workbench) => T): T {
  return useStore(workbench, part);
}

/** The answers as shown. */
export function useAnswers(): readonly ShownAnswer[] {
  return useStore(workbench, useShallow(shownAnswers));
}

/** The answer to one question as shown; a component that shows it alone is drawn again with it alone. */
export function useAnswer(number: number): ShownAnswer | undefined {
  return useStore(workbench, (bench) => shownAnswer(bench, number));
}
