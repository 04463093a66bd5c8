/** The state of the page of other parts for a component. */
import { useStore } from "zustand";
import { type SeekBench, searchKey, seekBench } from "../../state/seek.js";
import { useBench } from "../useBench.js";

/** Part of the state. */
export function useSeek<T>(part: (bench: SeekBench) => T): T {
  return useStore(seekBench, part);
}

/** Key of what a search of the present state reads. */
export function useSearchKey(): string {
  return useBench(({ files, caseId }) => searchKey(files, caseId));
}

/** Whether what was found belongs to another state of the dossier. */
export function useIsStale(): boolean {
  const key = useSearchKey();
  return useSeek((bench) => bench.search !== undefined && bench.search.key !== key);
}
