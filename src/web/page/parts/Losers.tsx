/** Why the others lost: by first reason, and of any choice by its number. */
import { useState } from "react";
import { useLocation } from "wouter";
import type { LossCount, SeekAnswer } from "../../../seek/index.js";
import type { ShownSearch } from "../../state/seek.js";
import { css } from "../look.js";
import { limitOf, limitText, partsText, sieveWords, valueText } from "./words.js";

/** @param search what was found */
export function Losers({ search }: { readonly search: ShownSearch }) {
  const { answer } = search;
  const beaten = answer.losers.filter(({ beatenBy }) => beatenBy !== undefined).length;
  return (
    <>
      <h3>Why the others lost</h3>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section className={css.scroll} aria-label="Why the others lost" tabIndex={0}>
        <table data-losses>
          <caption className="unseen">Choices that lost, by the first reason</caption>
          <thead>
            <tr>
              <th scope="col">first reason</th>
              <th scope="col">choices</th>
              <th scope="col">limit</th>
              <th scope="col">found by</th>
              <th scope="col">nearest</th>
            </tr>
          </thead>
          <tbody>
            {answer.losses.map((loss) => (
              <Reason key={`${loss.sieve} ${loss.id} ${loss.kind}`} answer={answer} loss={loss} />
            ))}
            {beaten > 0 && (
              <tr>
                <th scope="row">beaten by another choice in everything</th>
                <td>{beaten}</td>
                <td />
                <td />
                <td />
              </tr>
            )}
          </tbody>
        </table>
      </section>
      <AnyChoice most={answer.candidates - 1} />
    </>
  );
}

function Reason({ answer, loss }: { readonly answer: SeekAnswer; readonly loss: LossCount }) {
  const [, go] = useLocation();
  const { id, kind, count, sieve, nearest, needs } = loss;
  const limit = limitOf(answer, id);
  return (
    <tr>
      <th scope="row">
        {limit?.name ?? id}: {kind === "fails" ? "not met" : "not known"}
      </th>
      <td>{count}</td>
      <td>{limit === undefined ? "" : limitText(limit)}</td>
      <td>{sieveWords[sieve]}</td>
      <td>
        {nearest === null ? (
          needs.length > 0 && `needs ${needs.slice(0, 3).join(", ")}`
        ) : (
          <>
            <button
              type="button"
              aria-label={`Look at choice ${nearest.index}, nearest of those`}
              onClick={() => go(`/parts/${nearest.index}`)}
            >
              {nearest.index}
            </button>{" "}
            {valueText(nearest.value, limit?.dimension ?? "ratio")}
            <br />
            <small>{partsText(nearest.names)}</small>
          </>
        )}
      </td>
    </tr>
  );
}

/** Any choice by its number, also one that lost. */
function AnyChoice({ most }: { readonly most: number }) {
  const [, go] = useLocation();
  const [text, setText] = useState("");
  const isNumber = /^\d{1,9}$/.test(text.trim()) && Number(text) <= most;
  const isWrong = text.trim() !== "" && !isNumber;
  return (
    <form
      className="noprint"
      onSubmit={(event) => {
        event.preventDefault();
        if (isNumber) go(`/parts/${Number(text)}`);
      }}
    >
      <label htmlFor="any-choice">Look at any choice, 0 to {most}</label>
      <div className={css.acts}>
        <input
          id="any-choice"
          type="text"
          inputMode="numeric"
          value={text}
          aria-invalid={isWrong}
          aria-describedby={isWrong ? "any-choice-fault" : undefined}
          onChange={({ target }) => setText(target.value)}
        />
        <button type="submit" disabled={!isNumber}>
          Look at it
        </button>
      </div>
      {isWrong && (
        <p id="any-choice-fault" className={css.fault} role="alert">
          {text} is no number of a choice. Write a whole number from 0 to {most}.
        </p>
      )}
    </form>
  );
}
