/** All twelve questions at a glance: number, band against limit, verdict, sentence. */
import { memo } from "react";
import { Link } from "wouter";
import type { ShownAnswer } from "../state/workbench.js";
import { headlineOf } from "./headline.js";
import { css } from "./look.js";
import { useAnswers } from "./useBench.js";
import { toneNow, VerdictNow } from "./VerdictMark.js";

/** The overview. */
export function Overview() {
  const answers = useAnswers();
  if (answers.length === 0) return <p>Working out the answers.</p>;
  return (
    <>
      <ol className={css.list}>
        {answers.map((shown) => (
          <Row key={shown.answer.number} shown={shown} />
        ))}
      </ol>
      <p className={`${css.sentence} noprint`}>
        And beside them: <Link href="/parts">Would other parts do better?</Link>
      </p>
    </>
  );
}

const Row = memo(function Row({ shown }: { readonly shown: ShownAnswer }) {
  const { answer, isStale } = shown;
  const head = headlineOf(answer);
  return (
    <li className={`${css.row} ${toneNow(shown)}`} data-question={answer.number}>
      <span className={css.numeral} aria-hidden="true">
        {answer.number}
      </span>
      <div className={isStale ? css.stale : ""}>
        <h2>
          <Link href={`/question/${answer.number}`}>{answer.question}</Link>
        </h2>
        {isStale ? (
          <strong>Being worked out again; the last answer was:</strong>
        ) : (
          <VerdictNow shown={shown} />
        )}
        {head !== undefined && (
          <>
            <span className={css.big}>{head.number}</span>
            <small>
              {head.name}
              {head.band === "" ? "" : `, ${head.band}`}
              {head.limit === "" ? "" : `; ${head.limit}`}
            </small>
          </>
        )}
        <p>{answer.sentence}</p>
      </div>
    </li>
  );
});
