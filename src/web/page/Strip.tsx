/** The twelve questions with their verdicts: the way through the page. */
import { memo } from "react";
import { Link, useLocation } from "wouter";
import { css } from "./look.js";
import { useAnswer } from "./useBench.js";
import { toneNow, VerdictShape } from "./VerdictMark.js";

const numbers = Array.from({ length: 12 }, (_, index) => index + 1);

/** One link for each question. */
export function Strip() {
  const [location] = useLocation();
  return (
    <nav className={css.strip} aria-label="The twelve questions">
      <ol>
        {numbers.map((number) => (
          <li key={number}>
            <Way number={number} isHere={location === `/question/${number}`} />
          </li>
        ))}
      </ol>
    </nav>
  );
}

const Way = memo(function Way({ number, isHere }: { readonly number: number; readonly isHere: boolean }) {
  const shown = useAnswer(number);
  const isJudged = shown !== undefined && !shown.isStale && shown.samples > 0;
  const standing = isJudged
    ? shown.answer.verdict
    : shown?.isStale
      ? "being worked out again"
      : "being worked out";
  return (
    <Link
      href={`/question/${number}`}
      className={shown === undefined ? "unknown" : toneNow(shown)}
      aria-current={isHere ? "page" : undefined}
      aria-label={`${number} ${shown?.answer.question ?? ""} ${standing}`}
    >
      {number} {isJudged && <VerdictShape verdict={shown.answer.verdict} />}
    </Link>
  );
});
