/** What relaxing each limit would buy. */
import { useLocation } from "wouter";
import { dimensionOf, type Relaxation, type SeekAnswer } from "../../../seek/index.js";
import type { ShownSearch } from "../../state/seek.js";
import { css } from "../look.js";
import { limitOf, limitText, partsText, shareText, valueText } from "./words.js";

/** @param search what was found */
export function Relaxed({ search }: { readonly search: ShownSearch }) {
  const { answer } = search;
  return (
    <>
      <h3>What relaxing a limit would buy</h3>
      {answer.relaxations.length === 0 ? (
        <p>No choice is kept out by a single limit.</p>
      ) : (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
        <section className={css.scroll} aria-label="What relaxing a limit would buy" tabIndex={0}>
          <table data-relaxed>
            <caption className="unseen">What relaxing a limit would let in, limit by limit</caption>
            <thead>
              <tr>
                <th scope="col">limit</th>
                <th scope="col">relaxed to</th>
                <th scope="col">lets in</th>
                <th scope="col">choice</th>
                <th scope="col">better in</th>
              </tr>
            </thead>
            {answer.relaxations.map((relaxation) => (
              <tbody key={relaxation.id}>
                <Steps answer={answer} relaxation={relaxation} />
              </tbody>
            ))}
          </table>
        </section>
      )}
    </>
  );
}

function Steps({
  answer,
  relaxation: { id, steps },
}: {
  readonly answer: SeekAnswer;
  readonly relaxation: Relaxation;
}) {
  const [, go] = useLocation();
  const limit = limitOf(answer, id);
  return steps.map(({ limit: to, count, choice, gains }, place) => (
    <tr key={choice.index}>
      {place === 0 && (
        <th scope="rowgroup" rowSpan={steps.length}>
          {limit?.name ?? id}, {limit === undefined ? "" : limitText(limit)}
        </th>
      )}
      <td>{valueText(to, limit?.dimension ?? "ratio", { digits: 4 })}</td>
      <td>{count}</td>
      <td>
        <button
          type="button"
          aria-label={`Look at choice ${choice.index}, let in by that`}
          onClick={() => go(`/parts/${choice.index}`)}
        >
          {choice.index}
        </button>{" "}
        <small>{partsText(choice.names)}</small>
      </td>
      <td>
        {gains.length === 0
          ? "nothing"
          : gains.map(({ objective, from, to: value }) => (
              <div key={objective}>{gainText(answer, objective, from, value)}</div>
            ))}
      </td>
    </tr>
  ));
}

function gainText(
  answer: SeekAnswer,
  objective: SeekAnswer["objectives"][number]["id"],
  from: number | null,
  to: number,
): string {
  const named = answer.objectives.find(({ id }) => id === objective);
  const say = (value: number) =>
    named?.of === "probability"
      ? shareText(value)
      : valueText(value, named === undefined ? "ratio" : dimensionOf(answer, named.figure));
  return `${named?.name ?? objective} ${say(to)} instead of ${from === null ? "none" : say(from)}`;
}
