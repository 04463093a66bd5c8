/** The state of the page for a component. */
import { useStore } from "zustand";
import { type ShownAnswer, shownAnswers, type Workbench, workbench } from "../state/workbench.js";

/** Part of the state. */
export function useBench<T>(part: (bench: Workbench) => T): T {
  return useStore(workbench, part);
}

/** The answers as shown. */
export function useAnswers(): readonly ShownAnswer[] {
  return shownAnswers(useStore(workbench));
}
