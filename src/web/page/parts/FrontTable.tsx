/** The choices that no other beats, as a table to be sorted by any of its numbers. */
import { useMemo, useState } from "react";
import { useLocation } from "wouter";
import { endWords, type NamedResult, type SeekAxis, seekAxes, valueOn } from "../../../seek/index.js";
import type { ShownSearch } from "../../state/seek.js";
import { css } from "../look.js";
import { own } from "./look.js";
import { useSeek } from "./useSeek.js";
import { axisText, partPlaces, partText } from "./words.js";

interface Order {
  /** Place of the column's axis; -1 for the number of the choice. */
  readonly column: number;
  readonly isDown: boolean;
}

/** Rows that are shown before all are asked for. */
const fewRows = 12;

/** @param search what was found */
export function FrontTable({ search }: { readonly search: ShownSearch }) {
  const { answer, peaks } = search;
  const chosen = useSeek((bench) => bench.chosen);
  const axes = useMemo(() => seekAxes(answer), [answer]);
  const [order, setOrder] = useState<Order>(() => ({
    column: axes.findIndex(({ id }) => id === "mass"),
    isDown: false,
  }));
  const rows = useMemo(() => sorted(answer.front, axes[order.column], order.isDown), [answer, axes, order]);
  const [isWhole, setWhole] = useState(false);
  if (answer.front.length === 0) return null;
  const shown = isWhole ? rows : rows.filter(({ index }, place) => place < fewRows || index === chosen);
  const varied = partPlaces.filter(
    (place) => new Set(rows.map(({ names }) => partText(names, place))).size > 1,
  );
  const first = rows[0];
  const same = partPlaces.filter((place) => !varied.includes(place));
  const sortBy = (column: number): void =>
    setOrder({ column, isDown: order.column === column ? !order.isDown : axes[column]?.better === "more" });
  return (
    <>
      <h3>Choices that no other choice beats</h3>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section className={css.scroll} aria-label="Choices that no other choice beats" tabIndex={0}>
        <table data-front className={own.front}>
          <caption className="unseen">
            Choices that no other choice beats; the buttons of the heads sort the rows
          </caption>
          <thead>
            <tr>
              <Head words="choice" end="" place={-1} order={order} onSort={sortBy} />
              {varied.map((place) => (
                <th scope="col" key={place}>
                  {place}
                </th>
              ))}
              {axes.map((axis, place) => (
                <Head
                  key={`${axis.id} ${axis.of}`}
                  words={axis.name}
                  end={endWords[axis.of]}
                  place={place}
                  order={order}
                  onSort={sortBy}
                />
              ))}
              <th scope="col">margins over the peaks: stages, stem</th>
            </tr>
          </thead>
          <tbody>
            {shown.map((choice) => (
              <Row
                key={choice.index}
                choice={choice}
                parts={varied.map((place) => partText(choice.names, place))}
                axes={axes}
                peaks={peaksText(peaks.find(({ index }) => index === choice.index))}
                isChosen={choice.index === chosen}
              />
            ))}
          </tbody>
        </table>
      </section>
      {rows.length > fewRows && (
        <div className={`${css.acts} noprint`}>
          <button type="button" aria-expanded={isWhole} onClick={() => setWhole(!isWhole)}>
            {isWhole ? `Show the first ${fewRows} alone` : `Show all ${rows.length}`}
          </button>
        </div>
      )}
      {first !== undefined && same.length > 0 && (
        <p>In all of them: {same.map((place) => `${place} ${partText(first.names, place)}`).join("; ")}.</p>
      )}
      <p>
        <small>
          Margins are one thing over another, less one. The peaks are those of breakaway, jam, stop and locked
          rotor at the nominal values, worked out for the lightest; below 0 a part is overloaded.
        </small>
      </p>
    </>
  );
}

function Head({
  words,
  end,
  place,
  order,
  onSort,
}: {
  readonly words: string;
  readonly end: string;
  readonly place: number;
  readonly order: Order;
  readonly onSort: (column: number) => void;
}) {
  const isBy = order.column === place;
  return (
    <th scope="col" aria-sort={isBy ? (order.isDown ? "descending" : "ascending") : "none"}>
      <button type="button" className={own.sort} onClick={() => onSort(place)}>
        {words}
        {isBy && <span aria-hidden="true">{order.isDown ? " ↓" : " ↑"}</span>}
      </button>
      <span className={own.onPaper}>{words}</span>
      {end !== "" && <small>{end}</small>}
    </th>
  );
}

function Row({
  choice,
  parts,
  axes,
  peaks,
  isChosen,
}: {
  readonly choice: NamedResult;
  readonly parts: readonly string[];
  readonly axes: readonly SeekAxis[];
  readonly peaks: string;
  readonly isChosen: boolean;
}) {
  const [, go] = useLocation();
  return (
    <tr
      data-choice={choice.index}
      className={isChosen ? own.chosen : ""}
      aria-current={isChosen ? true : undefined}
    >
      <th scope="row">
        <button
          type="button"
          aria-pressed={isChosen}
          aria-label={`Choose choice ${choice.index}`}
          onClick={() => go(isChosen ? "/parts" : `/parts/${choice.index}`, { replace: true })}
        >
          {choice.index}
        </button>
        <span className={own.onPaper}>{choice.index}</span>
      </th>
      {parts.map((part, place) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the columns of a row stay in their order
        <td key={place} className={own.part}>
          {part}
        </td>
      ))}
      {axes.map((axis) => (
        <td key={`${axis.id} ${axis.of}`}>{axisText(valueOn(choice, axis), axis)}</td>
      ))}
      <td>{peaks}</td>
    </tr>
  );
}

function peaksText(
  found: { readonly stages: number | null; readonly stem: number | null } | undefined,
): string {
  if (found === undefined) return "not worked out";
  const say = (margin: number | null) =>
    margin === null ? "not known" : `${margin.toFixed(2)}${margin < 0 ? " (overloaded)" : ""}`;
  return `${say(found.stages)}, ${say(found.stem)}`;
}

/** By one number; what is not known stands last, whichever way it is sorted. */
function sorted(
  front: readonly NamedResult[],
  axis: SeekAxis | undefined,
  isDown: boolean,
): readonly NamedResult[] {
  const at = (choice: NamedResult) => (axis === undefined ? choice.index : valueOn(choice, axis));
  return front.toSorted((a, b) => {
    const [one, other] = [at(a), at(b)];
    if (one === null || other === null)
      return Number(one === null) - Number(other === null) || a.index - b.index;
    return (isDown ? other - one : one - other) || a.index - b.index;
  });
}
