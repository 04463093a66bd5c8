/** Long work: what it does, how far it is, how long it will take, and an end ahead of its time. */
import { endWork } from "../../state/testActs.js";
import type { ShownWork } from "../../state/tests.js";
import { css } from "../look.js";
import { Faults } from "./Faults.js";
import { useTests } from "./useTests.js";

/** What is being worked on at one place of the page, and what went wrong there. @param at as `ShownWork.at` */
export function Progress({ at }: { readonly at: string }) {
  const works = useTests((bench) => bench.works).filter((work) => work.at === at);
  const faults = useTests((bench) => bench.faults);
  const faultsAt = useTests((bench) => bench.faultsAt);
  return (
    <>
      {faultsAt === at && <Faults faults={faults} />}
      {works.map((work) => (
        <Work key={work.id} work={work} />
      ))}
    </>
  );
}

function Work({ work }: { readonly work: ShownWork }) {
  const { words, state } = work;
  const progress = state.state === "running" ? state.progress : null;
  const isBroken = state.state === "defect";
  return (
    <section className={css.caution} aria-label={`Work: ${words}`}>
      <p>
        <strong>
          {words[0]?.toUpperCase()}
          {words.slice(1)}
        </strong>
        {state.state === "waiting" && ": waits for the work before it"}
        {progress !== null &&
          `: ${progress.what}, ${progress.done} of ${progress.total}${leftWords(progress.secondsLeft)}`}
        {isBroken && `: ${state.text}`}
      </p>
      {!isBroken && (
        <progress
          aria-label={words}
          {...(progress === null || progress.total === 0
            ? {}
            : { value: progress.done, max: progress.total })}
        />
      )}
      <div className={css.acts}>
        <button type="button" onClick={() => void endWork(work)}>
          {isBroken ? "Take this note away" : `Cancel ${words}`}
        </button>
      </div>
    </section>
  );
}

function leftWords(seconds: number | null): string {
  return seconds === null || !Number.isFinite(seconds)
    ? ""
    : `, about ${Math.max(1, Math.round(seconds))} s left`;
}
