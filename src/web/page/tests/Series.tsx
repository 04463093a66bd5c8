/** Time series of runs over the predicted band: zoom, pan, crosshair, events. */
import { useEffect, useId, useMemo, useRef, useState } from "react";
import { useStore } from "zustand";
import type { HistoryBand } from "../../../predict/index.js";
import { panned, type Range, zoomed } from "../../compute/plotPlace.js";
import { axesStore, growAxes } from "../../state/seriesAxes.js";
import { refine } from "../../state/seriesData.js";
import type { ServedRun } from "../../state/workbench.js";
import { css } from "../look.js";
import type { DrawnEvent } from "./drawSeries.js";
import { Legend } from "./Legend.js";
import { own } from "./look.js";
import { KeepPanel, Panel } from "./Panel.js";
import { Readout } from "./Readout.js";
import { figureOf } from "./seriesFigures.js";
import { useGestures, useWidth } from "./seriesView.js";
import { panelsOf, type ShownRun } from "./shownSeries.js";

/** Steps of the ends of the axes, in the unit of each. */
const axisStep: Readonly<Record<string, number>> = {
  angle: 30,
  speed: 100,
  current: 2,
  "supply voltage": 5,
  flow: 1,
};
/** A view is settled when it has not moved for so long [ms]. */
const settled = 90;

/** Values that the axes have room for already. */
const roomFor = new WeakSet<readonly number[]>();

function makeRoom(quantity: string, values: readonly number[]): void {
  if (roomFor.has(values)) return;
  roomFor.add(values);
  growAxes(quantity, values, axisStep[quantity] ?? 1);
}

interface SeriesProps {
  readonly runs: readonly (ShownRun & { readonly run: ServedRun })[];
  readonly band: HistoryBand | undefined;
  readonly events: readonly DrawnEvent[];
  /** Of the first run, since its zero [ms]. */
  readonly whole: Range;
  readonly onHold: (id: string, x: number) => void;
}

/** The panels and what works them. */
export function Series({ runs, band, events, whole, onHold }: SeriesProps) {
  const id = useId();
  const place = useRef<HTMLDivElement>(null);
  const width = useWidth(place);
  const axes = useStore(axesStore, (state) => state.axes);
  const stroke: Range = useMemo(() => [-50, 1e3 * (band?.time_s.at(-1) ?? 0.95)], [band]);
  const [range, setRange] = useState<Range | undefined>(undefined);
  const now = range ?? stroke;
  const [crosshair, setCrosshair] = useState(0);
  useGestures(place, { range: now, events, width, setRange, setCrosshair, hold: onHold });
  const panels = useMemo(() => panelsOf(runs, band, now), [runs, band, now]);
  useEffect(() => {
    for (const { quantity, band: area, lines } of panels)
      for (const values of [area?.low ?? [], area?.high ?? [], ...lines.map(({ y }) => y)])
        makeRoom(quantity.id, values);
  }, [panels]);
  useEffect(() => {
    const timer = setTimeout(() => {
      for (const { run, zero_s } of runs)
        void refine(run, { from_s: zero_s + now[0] / 1e3, to_s: zero_s + now[1] / 1e3 }, width);
    }, settled);
    return () => clearTimeout(timer);
  }, [runs, now, width]);
  const yOf = (quantity: string): readonly [number, number] => axes[quantity] ?? [0, 1];
  const name = runs.map(({ id: run }) => run).join(" ");
  const step = (now[1] - now[0]) / 200;
  const isSpeedHidden = runs.some(({ stretches }) => stretches.angle?.[0]?.isThinned === true);
  return (
    <section aria-label="Time series" className={own.series}>
      <fieldset className={`${css.acts} noprint`} aria-label="Shown time">
        <button type="button" onClick={() => setRange(zoomed(now, crosshairIn(now, crosshair), 0.5))}>
          Zoom in
        </button>
        <button type="button" onClick={() => setRange(zoomed(now, crosshairIn(now, crosshair), 2))}>
          Zoom out
        </button>
        <button type="button" onClick={() => setRange(panned(now, -0.25))}>
          Earlier
        </button>
        <button type="button" onClick={() => setRange(panned(now, 0.25))}>
          Later
        </button>
        <button type="button" onClick={() => setRange(undefined)}>
          The stroke
        </button>
        <button type="button" onClick={() => setRange(whole)}>
          Whole record
        </button>
      </fieldset>
      <Legend runs={runs.map(({ id: run }) => run)} isPredicted={band !== undefined} />
      <div ref={place} className={own.panels} data-panels>
        {panels.map(({ quantity, band: area, lines }, index) => (
          <Panel
            key={quantity.id}
            width={width}
            words={`${quantity.label} in ${quantity.unit} against time since the command in ms: ${lines.map(({ label }) => label).join(", ")}. The readings below have the values.`}
            panel={{
              ...{ label: quantity.label, unit: quantity.unit, x: now, y: yOf(quantity.id) },
              ...(area === undefined ? {} : { band: area }),
              ...{ lines, events, hasNames: index === 0, crosshair },
            }}
          />
        ))}
      </div>
      <label htmlFor={`${id}-at`}>
        Crosshair at {crosshair.toFixed(1)} ms, shown {now[0].toFixed(1)} to {now[1].toFixed(1)} ms
      </label>
      <input
        id={`${id}-at`}
        type="range"
        className="noprint"
        min={now[0]}
        max={now[1]}
        step={step}
        value={crosshairIn(now, crosshair)}
        aria-valuetext={`${crosshair.toFixed(1)} ms`}
        onChange={({ target }) => setCrosshair(Number(target.value))}
        onKeyDown={(event) => {
          const to = rangeAfter(event.key, now, crosshairIn(now, crosshair));
          if (to === undefined) return;
          event.preventDefault();
          setRange(to);
        }}
      />
      <p>
        <small>
          Drag to move along, pinch or turn the wheel with Ctrl to zoom, tap to set the crosshair; on the
          slider arrow keys move it, + and - zoom, Page Up and Page Down move along. The axes are the same for
          every run.
          {isSpeedHidden && " The speed of a test is shown where one has zoomed in to its single rows."}
        </small>
      </p>
      <Readout panels={panels} at={crosshair} />
      {panels.map((panel) => (
        <KeepPanel
          key={panel.quantity.id}
          figure={() => figureOf(panel, now, yOf(panel.quantity.id), events, name)}
        />
      ))}
    </section>
  );
}

/** The crosshair where it is in view, else the middle. */
function crosshairIn([from, to]: Range, crosshair: number): number {
  return crosshair >= from && crosshair <= to ? crosshair : (from + to) / 2;
}

/** The range after a key on the slider of the crosshair; undefined for keys that move the crosshair itself. */
function rangeAfter(key: string, now: Range, about: number): Range | undefined {
  if (key === "+") return zoomed(now, about, 0.5);
  if (key === "-") return zoomed(now, about, 2);
  if (key === "PageUp") return panned(now, 0.25);
  return key === "PageDown" ? panned(now, -0.25) : undefined;
}
