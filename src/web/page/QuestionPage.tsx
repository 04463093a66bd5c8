/** One question: number, sentence, pictures, drivers, checks, what is not known; its values beside it. */
import { lazy, Suspense, useEffect, useRef, useState } from "react";
import { waitingNames } from "../../question/index.js";
import { lookAt } from "../state/acts.js";
import { Checks } from "./Checks.js";
import { Drivers } from "./Drivers.js";
import { Field } from "./Field.js";
import { headlineOf } from "./headline.js";
import { css } from "./look.js";
import { Picture } from "./Picture.js";
import { Tables } from "./Tables.js";
import { useAnswer } from "./useBench.js";
import { toneNow, VerdictNow } from "./VerdictMark.js";

const Section = lazy(async () => ({ default: (await import("./section/Section.js")).Section }));
/** Questions beside which the valve is drawn in section: what it passes, and how it moves. */
const withSection: ReadonlySet<number> = new Set([1, 3]);

/** Stands for the section among the numbers of the figures. */
const sectionPlace = -1;

/** @param number 1 to 12 */
export function QuestionPage({ number }: { readonly number: number }) {
  useEffect(() => lookAt(number), [number]);
  const shown = useAnswer(number);
  const seen = useRef<{ readonly number: number; readonly paths: readonly string[] }>({ number, paths: [] });
  const [figure, setFigure] = useState(0);
  useEffect(() => {
    void number;
    setFigure(0);
  }, [number]);
  if (shown === undefined) return <p>Working out the answer.</p>;
  const { answer, isStale, samples } = shown;
  const head = headlineOf(answer);
  const isSection = withSection.has(number) && figure === sectionPlace;
  const picture = answer.figures[figure] ?? answer.figures[0];
  // A first, small band has no drivers yet: a field that is being edited stays where it is.
  const wasHere = seen.current.number === number ? seen.current.paths : [];
  const beside = [
    ...new Set([
      ...wasHere,
      ...answer.drivers.map(({ path }) => path),
      ...answer.gaps.map(({ path }) => path),
    ]),
  ];
  seen.current = { number, paths: beside };
  return (
    <article className={`${toneNow(shown)} ${isStale ? css.stale : ""}`} aria-busy={isStale}>
      <h2>
        {number} {answer.question}
      </h2>
      {isStale ? <strong>Being worked out again; the last answer was:</strong> : <VerdictNow shown={shown} />}
      {head !== undefined && (
        <p>
          <span className={css.huge} data-headline>
            {head.number}
          </span>
          {head.name}
          {head.band === "" ? "" : `, ${head.band}`}
          {head.limit === "" ? "" : `; ${head.limit}`}
        </p>
      )}
      <p className={css.sentence}>{answer.sentence}</p>
      <p>
        <small>
          {samples === 0
            ? "Nominal values; the band is being worked out, and the verdict with it."
            : `Band from ${samples} openings.`}
        </small>
      </p>
      {answer.cautions.length > 0 && (
        <div className={css.caution} role="note" aria-label="Caution">
          {answer.cautions.map((caution) => (
            <p key={caution}>{caution}</p>
          ))}
        </div>
      )}
      <div className={css.two}>
        <div>
          {isSection ? (
            <Suspense fallback={<p>Loading the section.</p>}>
              <Section />
            </Suspense>
          ) : (
            picture !== undefined && <Picture key={picture.id} figure={picture} />
          )}
          <fieldset className={`${css.acts} noprint`} aria-label="Pictures">
            {answer.figures.map(({ id, title }, index) => (
              <button key={id} type="button" aria-pressed={index === figure} onClick={() => setFigure(index)}>
                {title}
              </button>
            ))}
            {withSection.has(number) && (
              <button type="button" aria-pressed={isSection} onClick={() => setFigure(sectionPlace)}>
                Section of ball, seats and port
              </button>
            )}
          </fieldset>
          <Drivers drivers={answer.drivers} />
          {answer.checks.length > 0 && <h3>Checks</h3>}
          <Checks answer={answer} isStale={isStale} />
          <Tables tables={answer.tables} />
          {answer.gaps.length > 0 && <h3>Not known, and what entering it would answer</h3>}
          <ul>
            {answer.gaps.map((gap) => (
              <li key={gap.path}>
                <strong>{gap.label}</strong>, for: {waitingNames([answer], gap).join(", ")}
              </li>
            ))}
          </ul>
          {answer.notices.map(({ code, text, field }) => (
            <p key={`${code} ${field} ${text}`}>
              <small>
                Note {field}: {text}
              </small>
            </p>
          ))}
        </div>
        {beside.length > 0 && (
          <aside className="noprint" aria-label="Values behind this answer">
            <h3>Values behind this answer</h3>
            {beside.map((path) => (
              <Field key={path} path={path} />
            ))}
          </aside>
        )}
      </div>
    </article>
  );
}
