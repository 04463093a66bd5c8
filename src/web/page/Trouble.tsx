/** What went wrong, and where the files on the disk and those of the page disagree. */
import { settle } from "../state/disk.js";
import { css } from "./look.js";
import { useBench } from "./useBench.js";

/** Nothing where nothing is wrong. */
export function Trouble() {
  const trouble = useBench((bench) => bench.trouble);
  const unreadable = useBench((bench) => bench.unreadable);
  const conflict = useBench((bench) => bench.conflict);
  return (
    <>
      {trouble !== undefined && (
        <p className={css.trouble} role="alert">
          {trouble}
        </p>
      )}
      {unreadable.map((fault) => (
        <p key={`${fault.code} ${fault.found}`} className={css.trouble} role="alert">
          {fault.found}. {fault.allowed} {fault.mend}.
        </p>
      ))}
      {conflict !== undefined && (
        <section className={css.trouble} aria-label="Conflict">
          <p>
            {conflict.path} was changed outside in the same lines as here. Nothing is overwritten until you
            choose.
          </p>
          {conflict.conflicts.map(({ mine, theirs }) => (
            <dl key={`${mine.join()} ${theirs.join()}`}>
              <dt>Here</dt>
              <dd>
                <code>{mine.join(" ").trim() || "(deleted)"}</code>
              </dd>
              <dt>On the disk</dt>
              <dd>
                <code>{theirs.join(" ").trim() || "(deleted)"}</code>
              </dd>
            </dl>
          ))}
          <div className={css.acts}>
            <button type="button" onClick={() => settle("mine")}>
              Keep what is here
            </button>
            <button type="button" onClick={() => settle("theirs")}>
              Take what is on the disk
            </button>
          </div>
        </section>
      )}
    </>
  );
}
