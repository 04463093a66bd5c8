/** The choices as a picture: lines across parallel axes, or points of two numbers; pressed, or stepped through by a slider. */
import { useEffect, useMemo, useRef } from "react";
import { useLocation } from "wouter";
import {
  choicesFigure,
  type NamedResult,
  type SeekAnswer,
  type SeekAxis,
  scatterFigure,
  seekAxes,
  shownResults,
  valueOn,
} from "../../../seek/index.js";
import { type SeekView, type ShownSearch, seekBench } from "../../state/seek.js";
import { css } from "../look.js";
import { Picture } from "../Picture.js";
import { own } from "./look.js";
import { choiceAtPress } from "./press.js";
import { useSeek } from "./useSeek.js";

/** @param search what was found */
export function FrontPicture({ search }: { readonly search: ShownSearch }) {
  const { answer } = search;
  const view = useSeek((bench) => bench.view);
  const leftOut = useSeek((bench) => bench.leftOut);
  const across = useSeek((bench) => bench.across);
  const upwards = useSeek((bench) => bench.upwards);
  const chosen = useSeek((bench) => bench.chosen);
  const all = useMemo(() => seekAxes(answer), [answer]);
  const lines = useMemo(
    () => all.filter((axis) => !leftOut.includes(axisKey(axis)) && isUsual(axis, leftOut)),
    [all, leftOut],
  );
  const x = all.find((axis) => axisKey(axis) === across) ?? all.find(({ id }) => id === "mass") ?? all[0];
  const y =
    all.find((axis) => axisKey(axis) === upwards) ?? all.find(({ id }) => id === "torque-margin") ?? all[1];
  const first = view === "lines" ? (lines.find(({ id }) => id === "mass") ?? lines[0]) : x;
  const figure = useMemo(() => {
    if (view === "lines") return lines.length === 0 ? undefined : choicesFigure(answer, lines, chosen);
    return x === undefined || y === undefined ? undefined : scatterFigure(answer, x, y, chosen);
  }, [answer, view, lines, x, y, chosen]);
  if (shownResults(answer).length === 0 || first === undefined)
    return <p>No choice came to the samples of the band: there is nothing to draw.</p>;
  return (
    <section aria-label="Picture of the choices" data-picture={view}>
      <h3>The choices</h3>
      <div className="noprint">
        <Views view={view} />
        {view === "lines" ? (
          <LineAxes all={all} shown={lines} leftOut={leftOut} />
        ) : (
          <PointAxes all={all} x={x} y={y} />
        )}
      </div>
      {figure !== undefined && (
        <Pressed
          answer={answer}
          figure={figure}
          axes={x === undefined || y === undefined ? undefined : [x, y]}
        />
      )}
      <Steps answer={answer} axis={first} chosen={chosen} />
    </section>
  );
}

/** Two axes may be of one figure: the probability and the time of opening. */
const axisKey = ({ id, of }: SeekAxis): string => `${id} ${of}`;

/** Stands in `leftOut` for an axis that is not drawn unless it is asked for, and was. */
const wanted = (axis: SeekAxis): string => `+${axisKey(axis)}`;

function isUsual(axis: SeekAxis, leftOut: readonly string[]): boolean {
  return axis.isObjective || leftOut.includes(wanted(axis));
}

function Views({ view }: { readonly view: SeekView }) {
  const views = { lines: "All numbers, as lines", points: "Two numbers, as points" } as const;
  return (
    <fieldset className={css.acts} aria-label="How the choices are drawn">
      {(["lines", "points"] as const).map((one) => (
        <button
          key={one}
          type="button"
          aria-pressed={one === view}
          className={own.toggle}
          onClick={() => seekBench.setState({ view: one })}
        >
          {views[one]}
        </button>
      ))}
    </fieldset>
  );
}

function LineAxes({
  all,
  shown,
  leftOut,
}: {
  readonly all: readonly SeekAxis[];
  readonly shown: readonly SeekAxis[];
  readonly leftOut: readonly string[];
}) {
  const turn = (axis: SeekAxis, isWanted: boolean): void => {
    const others = leftOut.filter((key) => key !== axisKey(axis) && key !== wanted(axis));
    const mark = axis.isObjective ? (isWanted ? [] : [axisKey(axis)]) : isWanted ? [wanted(axis)] : [];
    seekBench.setState({ leftOut: [...others, ...mark] });
  };
  return (
    <details>
      <summary>Axes: {shown.map(({ name }) => name).join(", ")}</summary>
      <fieldset className={own.picks} aria-label="Axes of the lines">
        {all.map((axis) => {
          const isShown = shown.includes(axis);
          return (
            <label key={axisKey(axis)} className={own.pick}>
              <input
                type="checkbox"
                checked={isShown}
                disabled={isShown && shown.length === 1}
                onChange={({ target }) => turn(axis, target.checked)}
              />
              {axis.name}
            </label>
          );
        })}
      </fieldset>
    </details>
  );
}

function PointAxes({
  all,
  x,
  y,
}: {
  readonly all: readonly SeekAxis[];
  readonly x: SeekAxis | undefined;
  readonly y: SeekAxis | undefined;
}) {
  const select = (label: string, axis: SeekAxis | undefined, take: (key: string) => void) => (
    <label>
      {label}{" "}
      <select value={axis === undefined ? "" : axisKey(axis)} onChange={({ target }) => take(target.value)}>
        {all.map((one) => (
          <option key={axisKey(one)} value={axisKey(one)}>
            {one.name}
          </option>
        ))}
      </select>
    </label>
  );
  return (
    <div className={own.picks}>
      {select("Across", x, (across) => seekBench.setState({ across }))}
      {select("Upwards", y, (upwards) => seekBench.setState({ upwards }))}
    </div>
  );
}

/** The picture; a press chooses the choice that is nearest to it. */
function Pressed({
  answer,
  figure,
  axes,
}: {
  readonly answer: SeekAnswer;
  readonly figure: Parameters<typeof choiceAtPress>[1];
  readonly axes: readonly [SeekAxis, SeekAxis] | undefined;
}) {
  const place = useRef<HTMLDivElement>(null);
  const [, go] = useLocation();
  const chosen = useSeek((bench) => bench.chosen);
  useEffect(() => {
    const { current } = place;
    const press = (event: MouseEvent): void => {
      const found = choiceAtPress(answer, figure, axes, chosen, event);
      if (found !== undefined) go(`/parts/${found}`, { replace: true });
    };
    current?.addEventListener("click", press);
    return () => current?.removeEventListener("click", press);
  }, [answer, figure, axes, chosen, go]);
  return (
    <div ref={place} className={own.pressed}>
      <Picture key={figure.id} figure={figure} />
    </div>
  );
}

/** Every choice that is drawn, one after the other: the best on the first axis first. */
function Steps({
  answer,
  axis,
  chosen,
}: {
  readonly answer: SeekAnswer;
  readonly axis: SeekAxis;
  readonly chosen: number | undefined;
}) {
  const [, go] = useLocation();
  const ordered = useMemo(() => inOrder(shownResults(answer), axis), [answer, axis]);
  const at = ordered.findIndex(({ index }) => index === chosen) + 1;
  const words =
    at === 0
      ? `none of the ${ordered.length} drawn here`
      : `${chosen}, ${at} of ${ordered.length} from the best ${axis.name} on`;
  return (
    <div className="noprint">
      <label htmlFor="choice-step">Chosen choice: {words}</label>
      <input
        id="choice-step"
        type="range"
        min={0}
        max={ordered.length}
        step={1}
        value={at}
        aria-valuetext={words}
        onChange={({ target }) => {
          const next = ordered[Number(target.value) - 1];
          go(next === undefined ? "/parts" : `/parts/${next.index}`, { replace: true });
        }}
      />
      <p>
        <small>Press a line or a point, move the slider, or take a number from the table below.</small>
      </p>
    </div>
  );
}

/** Best first; what is not known last. */
function inOrder(choices: readonly NamedResult[], axis: SeekAxis): readonly NamedResult[] {
  const rank = (choice: NamedResult): number => {
    const value = valueOn(choice, axis);
    return value === null ? Number.POSITIVE_INFINITY : axis.better === "less" ? value : -value;
  };
  return choices.toSorted((a, b) => compared(rank(a), rank(b)) || a.index - b.index);
}

function compared(a: number, b: number): number {
  return a === b ? 0 : a < b ? -1 : 1;
}
