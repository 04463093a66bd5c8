/** Would other parts do better? The search, what it found, the choice that is looked at, and the trade of concepts. */
import { useEffect } from "react";
import type { ShownSearch } from "../../state/seek.js";
import { choose, lookAround, searchPlace, takeUpSearch } from "../../state/seekActs.js";
import { css } from "../look.js";
import { Progress } from "../tests/Progress.js";
import { useBench } from "../useBench.js";
import { ChosenChoice, ChosenNumbers } from "./ChosenChoice.js";
import { FrontPicture } from "./FrontPicture.js";
import { FrontTable } from "./FrontTable.js";
import { Losers } from "./Losers.js";
import { own } from "./look.js";
import { Relaxed } from "./Relaxed.js";
import { Scope } from "./Scope.js";
import { StartSearch } from "./StartSearch.js";
import { TradeTable } from "./TradeTable.js";
import { useIsStale, useSearchKey, useSeek } from "./useSeek.js";

/** @param choice  number of the choice that is looked at, as the address has it */
export function PartsPage({ choice }: { readonly choice?: string | undefined }) {
  const key = useSearchKey();
  const hasFiles = useBench(({ files }) => Object.keys(files).length > 0);
  const search = useSeek((bench) => bench.search);
  const isStale = useIsStale();
  const index = choice !== undefined && /^\d{1,9}$/.test(choice) ? Number(choice) : undefined;
  useEffect(() => {
    void key;
    if (hasFiles) void lookAround();
  }, [key, hasFiles]);
  useEffect(() => {
    if (hasFiles) void takeUpSearch();
  }, [hasFiles]);
  useEffect(() => {
    void choose(index);
  }, [index]);
  return (
    <>
      <h2>Would other parts do better?</h2>
      <p className={css.sentence} data-lead>
        {search === undefined ? "No search has been made yet." : leadWords(search.answer)}
      </p>
      {isStale && (
        <p className={own.old} role="note" data-stale>
          Out of date: a value or the case was changed since this search. What is shown is from before; search
          again.
        </p>
      )}
      <Scope />
      <StartSearch />
      <Progress at={searchPlace} />
      {search !== undefined && (
        <div className={isStale ? css.stale : ""} data-found>
          {search.notices.map(({ code, text }) => (
            <p key={`${code} ${text}`}>
              <small>Note: {text}.</small>
            </p>
          ))}
          <div className={css.two}>
            <FrontPicture search={search} />
            <ChosenChoice search={search} />
          </div>
          <ChosenNumbers search={search} />
          <Overloaded search={search} />
          <FrontTable search={search} />
          <Losers search={search} />
          <Relaxed search={search} />
          <Rests />
        </div>
      )}
      <TradeTable />
    </>
  );
}

function leadWords({
  passing,
  candidates,
  wanted,
  front,
}: {
  readonly passing: number;
  readonly candidates: number;
  readonly wanted: number;
  readonly front: readonly unknown[];
}): string {
  const probability = `the wanted probability of ${Math.round(1000 * wanted) / 10} %`;
  return passing === 0
    ? `None of ${candidates} choices meets every limit with ${probability}.`
    : `${passing} of ${candidates} choices meet every limit with ${probability}; ${front.length} of them no other choice beats.`;
}

/** Choices within every limit that would all the same break a part at their peaks. */
function Overloaded({ search }: { readonly search: ShownSearch }) {
  const { peaks } = search;
  const { front } = search.answer;
  const shown = front.filter(({ index }) => peaks.some((one) => one.index === index));
  const over = shown.filter(({ index }) => {
    const found = peaks.find((one) => one.index === index);
    return (found?.stages ?? 0) < 0 || (found?.stem ?? 0) < 0;
  });
  if (over.length === 0) return null;
  const which =
    over.length === front.length
      ? "Every choice that no other beats"
      : `Of the ${shown.length} whose peaks were worked out, choice ${over.map(({ index }) => index).join(", ")}`;
  return (
    <p className={own.old} role="note">
      {which} overloads a stage or the stem at its peaks (a margin below 0), though it is within the limits of
      the search.
    </p>
  );
}

function Rests() {
  return (
    <details className="noprint">
      <summary>What this rests on</summary>
      <ul>
        <li>
          Everything that is not exchanged stays as declared: duty, line, friction of the seats, temperatures.
        </li>
        <li>
          A share of the samples decides, not its confidence interval; the answers of a chosen choice are of
          512 openings first and 4,096 then. Other cases of the dossier, as the start, are judged by the
          answers of a choice alone, when their case is chosen.
        </li>
        <li>
          The limits of stages and stem are held against the slow torque of the locked drive; the peaks of
          breakaway, jam and stop come on top, and question 5 of a choice has them.
        </li>
        <li>
          A mass or price that nobody gave is not within a limit, and counts as the worst where choices are
          compared.
        </li>
        <li>
          The search asks for nothing of shock, cold, line, oxygen or start: the answers of a chosen choice
          do.
        </li>
      </ul>
    </details>
  );
}
