/** The choice that is looked at: its parts, its numbers with bands, why it lost, and its answers beside those of now. */
import type { CandidateFigure, Loser, NamedResult } from "../../../seek/index.js";
import { figureIds, shownResults } from "../../../seek/index.js";
import type { ShownSearch } from "../../state/seek.js";
import { css } from "../look.js";
import { Faults } from "../tests/Faults.js";
import { ChoiceAnswers } from "./ChoiceAnswers.js";
import { KeepChoice } from "./KeepChoice.js";
import { own } from "./look.js";
import { useSeek } from "./useSeek.js";
import {
  bandText,
  limitOf,
  limitText,
  partPlaces,
  partText,
  shareText,
  sieveWords,
  valueText,
} from "./words.js";

/** Its parts, why it lost, and what can be done with it. @param search what was found */
export function ChosenChoice({ search }: { readonly search: ShownSearch }) {
  const chosen = useSeek((bench) => bench.chosen);
  const choice = useSeek((bench) => bench.choice);
  const refused = useSeek((bench) => bench.refused);
  if (chosen === undefined) return null;
  const found = shownResults(search.answer).find(({ index }) => index === chosen);
  const loser = search.answer.losers.find(({ index }) => index === chosen);
  const names = choice?.names ?? found?.names;
  return (
    <section aria-label={`Choice ${chosen}`} data-chosen={chosen}>
      <h3>Choice {chosen}</h3>
      {refused?.what === "refused" && <Faults faults={refused.faults} />}
      {names !== undefined && (
        <dl className={own.parts}>
          {partPlaces.map((place) => (
            <div key={place}>
              <dt>{place}</dt>
              <dd>{partText(names, place)}</dd>
            </div>
          ))}
        </dl>
      )}
      {loser !== undefined && <Lost search={search} loser={loser} />}
      {choice !== undefined && <KeepChoice choice={choice} />}
    </section>
  );
}

/** Its numbers with bands, and its answers. @param search what was found */
export function ChosenNumbers({ search }: { readonly search: ShownSearch }) {
  const chosen = useSeek((bench) => bench.chosen);
  const choice = useSeek((bench) => bench.choice);
  if (chosen === undefined) return null;
  const found = shownResults(search.answer).find(({ index }) => index === chosen);
  return (
    <>
      {found !== undefined && <Numbers search={search} choice={found} />}
      {choice !== undefined && <ChoiceAnswers choice={choice} />}
    </>
  );
}

function Lost({ search: { answer }, loser }: { readonly search: ShownSearch; readonly loser: Loser }) {
  const { beatenBy, misses, sieve } = loser;
  if (beatenBy !== undefined)
    return <p data-lost>It meets every limit, and choice {beatenBy} is at least as good in everything.</p>;
  return (
    <div data-lost>
      <p>It lost; it was followed as far as: {sieveWords[sieve]}.</p>
      <ul>
        {misses.map(({ id, kind, nominal, needed, probability, needs = [] }) => {
          const limit = limitOf(answer, id);
          const dimension = limit?.dimension ?? "ratio";
          const said = [
            nominal === null ? "" : `nominal ${valueText(nominal, dimension)}`,
            probability === null ? "" : `met by ${shareText(probability)} of the samples`,
            needed === null ? "" : `would meet ${valueText(needed, dimension)}`,
            needs.length === 0 ? "" : `needs ${needs.join(", ")}`,
          ].filter((text) => text !== "");
          return (
            <li key={id}>
              <strong>
                {limit?.name ?? id}: {kind === "fails" ? "not met" : "not known"}
              </strong>
              {limit === undefined || limitText(limit) === "" ? "" : `, limit ${limitText(limit)}`}
              {said.length === 0 ? "" : `; ${said.join("; ")}`}.
            </li>
          );
        })}
      </ul>
    </div>
  );
}

const figureNames: Readonly<Record<string, string>> = {
  mass: "mass of all parts",
  cost: "price of all parts",
  length: "length of motor and stages",
  current: "peak current of the motor",
};

function Numbers({
  search: { answer },
  choice,
}: {
  readonly search: ShownSearch;
  readonly choice: NamedResult;
}) {
  const rows = figureIds([choice]).flatMap((id): readonly (readonly [typeof id, CandidateFigure])[] => {
    const figure = choice.figures?.[id];
    return figure === undefined || id === "mounting" ? [] : [[id, figure]];
  });
  return (
    <>
      <h3>Numbers of choice {choice.index}</h3>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section className={css.scroll} aria-label={`Numbers of choice ${choice.index}`} tabIndex={0}>
        <table data-numbers>
          <caption className="unseen">Numbers of choice {choice.index} with their bands</caption>
          <thead>
            <tr>
              <th scope="col">number</th>
              <th scope="col">nominal</th>
              <th scope="col">band of 95 %</th>
              <th scope="col">limit</th>
              <th scope="col">met by</th>
            </tr>
          </thead>
          <tbody>
            {rows.map(([id, figure]) => {
              const limit = limitOf(answer, id);
              const { nominal, band } = bandText(answer, id, figure);
              const words = limit === undefined ? "" : limitText(limit);
              return (
                <tr key={id}>
                  <th scope="row">{limit?.name ?? figureNames[id] ?? id}</th>
                  <td>{nominal}</td>
                  <td>{band === "" ? "" : band}</td>
                  <td>{words === "" ? "no limit" : words}</td>
                  <td>{words === "" ? "" : `${shareText(figure.probability)} of the samples`}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </section>
    </>
  );
}
