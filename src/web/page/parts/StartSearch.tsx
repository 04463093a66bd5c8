/** Starts a search; what was kept of one that was broken off is not worked out again. */
import { search } from "../../state/seekActs.js";
import { isBusyIn } from "../../state/tests.js";
import { unsavedFiles } from "../../state/workbench.js";
import { css } from "../look.js";
import { useTests } from "../tests/useTests.js";
import { useBench } from "../useBench.js";
import { useIsStale, useSeek } from "./useSeek.js";

/** The button and what it will do. */
export function StartSearch() {
  const isBusy = useTests(isBusyIn);
  const unsaved = useBench((bench) => unsavedFiles(bench).length);
  const isRefused = useSeek((bench) => bench.scope?.told.what === "refused");
  const isBrokenOff = useSeek((bench) => bench.isBrokenOff);
  const hasFound = useSeek((bench) => bench.search !== undefined);
  const isStale = useIsStale();
  const act = isBrokenOff ? "Go on with the search" : hasFound ? "Search again" : "Search for other parts";
  return (
    <div className="noprint">
      <div className={css.acts}>
        <button type="button" disabled={isBusy || isRefused} onClick={() => void search()}>
          {unsaved === 0 ? act : `Save, then ${act.charAt(0).toLowerCase()}${act.slice(1)}`}
        </button>
      </div>
      <p>
        <small>
          {unsaved > 0 && "The search reads the files: what is edited is saved first. "}
          {isBrokenOff && "What was done before is kept in the folder seek of the dossier. "}
          {hasFound && !isStale && "Nothing was changed since: it would find the same. "}
          You can go on reading and editing meanwhile.
        </small>
      </p>
    </div>
  );
}
