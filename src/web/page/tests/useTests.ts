/** The state of the pages of tests for a component. */
import { useStore } from "zustand";
import { type TestBench, testBench } from "../../state/tests.js";

/** Part of the state. */
export function useTests<T>(part: (bench: TestBench) => T): T {
  return useStore(testBench, part);
}
