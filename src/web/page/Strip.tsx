/** The twelve questions with their verdicts: the way through the page. */
import { Link, useLocation } from "wouter";
import { css } from "./look.js";
import { useAnswers } from "./useBench.js";
import { toneOf, VerdictShape } from "./VerdictMark.js";

/** One link for each question. */
export function Strip() {
  const [location] = useLocation();
  const answers = useAnswers();
  return (
    <nav className={css.strip} aria-label="The twelve questions">
      <ol>
        {Array.from({ length: 12 }, (_, index) => index + 1).map((number) => {
          const shown = answers.find(({ answer }) => answer.number === number);
          const verdict = shown?.answer.verdict;
          const here = `/question/${number}`;
          return (
            <li key={number}>
              <Link
                href={here}
                className={verdict === undefined ? "unknown" : toneOf(verdict)}
                aria-current={location === here ? "page" : undefined}
                aria-label={`${number} ${shown?.answer.question ?? ""} ${shown?.isStale ? "being worked out again" : (verdict ?? "being worked out")}`}
              >
                {number}{" "}
                {shown !== undefined && !shown.isStale && <VerdictShape verdict={shown.answer.verdict} />}
              </Link>
            </li>
          );
        })}
      </ol>
    </nav>
  );
}
