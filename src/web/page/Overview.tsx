/** All twelve questions at a glance: number, band against limit, verdict, sentence. */
import { Link } from "wouter";
import { headlineOf } from "./headline.js";
import { css } from "./look.js";
import { useAnswers } from "./useBench.js";
import { toneOf, VerdictMark } from "./VerdictMark.js";

/** The overview. */
export function Overview() {
  const answers = useAnswers();
  if (answers.length === 0) return <p>Working out the answers.</p>;
  return (
    <ol className={css.list}>
      {answers.map(({ answer, isStale }) => {
        const head = headlineOf(answer);
        return (
          <li
            key={answer.number}
            className={`${css.row} ${toneOf(answer.verdict)}`}
            data-question={answer.number}
          >
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
                <VerdictMark verdict={answer.verdict} />
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
      })}
    </ol>
  );
}
