/** One run: what was measured against what was predicted, its time series, its events. */
import { useEffect, useMemo, useState } from "react";
import { Link } from "wouter";
import { useStore } from "zustand";
import type { Reduction } from "../../../evidence/index.js";
import { askHistories } from "../../state/acts.js";
import { showOver } from "../../state/findingActs.js";
import { inputKey } from "../../state/inputKey.js";
import { takeAxes } from "../../state/seriesAxes.js";
import { loadSeries, seriesStore } from "../../state/seriesData.js";
import { findEvents, findEventsOnce } from "../../state/testActs.js";
import { isBusyIn } from "../../state/tests.js";
import type { ServedRun } from "../../state/workbench.js";
import { css } from "../look.js";
import { useBench } from "../useBench.js";
import type { DrawnEvent } from "./drawSeries.js";
import { Events, type HeldEvent } from "./Events.js";
import { own } from "./look.js";
import { Progress } from "./Progress.js";
import { comparisonWords, FindingMark, RunConditions } from "./Runs.js";
import { Series } from "./Series.js";
import { useTests } from "./useTests.js";
import { dateWords, definitionLabel, timeAlone } from "./words.js";

type Stroke = Reduction["strokes"][number];

/** The instant of the command of a stroke; without one the first motion. */
function zeroOf(stroke: Stroke | undefined): number | undefined {
  for (const wanted of ["command", "current", "first motion"]) {
    const event = stroke?.events.find(({ id }) => id === wanted);
    if (event?.found === true) return event.time_s;
  }
  return undefined;
}

/** @param id of the run */
export function RunPage({ id }: { readonly id: string }) {
  const run = useBench((bench) => bench.runs.find(({ record }) => record.id === id));
  if (run === undefined)
    return (
      <p>
        No run has the name {id}. <Link href="/tests">The tests</Link> lists those there are.
      </p>
    );
  return <Run key={id} run={run} />;
}

function Run({ run }: { readonly run: ServedRun }) {
  const { id, case: caseId } = run.record;
  const folder = useBench((bench) => bench.folder);
  const files = useBench((bench) => bench.files);
  const all = useBench((bench) => bench.runs);
  const over = useTests((bench) => bench.over);
  const reductions = useBench((bench) => bench.evidence.reductions);
  const sealed = useBench((bench) => bench.evidence.sealedFindings?.find(({ runId }) => runId === id));
  const series = useStore(seriesStore);
  const [number, setNumber] = useState(0);
  const [held, setHeld] = useState<HeldEvent | undefined>(undefined);
  const strokes = reductions?.find(({ runId }) => runId === id)?.strokes ?? [];
  const stroke = strokes[number] ?? strokes[0];
  const sense = stroke?.sense ?? "opening";
  const band = useBench((bench) => bench.histories[`${caseId} ${sense}`]);
  const key = useMemo(() => inputKey(files, caseId, 0), [files, caseId]);
  const isOld = band === undefined || inputKey(band.files, caseId, 0) !== key;
  useEffect(() => takeAxes(folder), [folder]);
  useEffect(() => {
    void key;
    askHistories(caseId, sense);
  }, [caseId, sense, key]);
  const shown = useMemo(
    () => [run, ...all.filter((one) => one !== run && over.includes(one.record.id))],
    [run, all, over],
  );
  useEffect(() => {
    for (const one of shown) void loadSeries(one);
  }, [shown]);
  const isBusy = useTests(isBusyIn);
  const valve = useBench((bench) => bench.base["valve.yaml"]?.sha256);
  useEffect(() => {
    // Events rest on log and travel alone, but what was found is kept by the whole file: a new value asks again.
    if (reductions !== undefined && strokes.length === 0) findEventsOnce(id, `${id} ${valve}`);
  }, [id, valve, reductions, strokes.length]);
  const zero = zeroOf(stroke);
  const runs = useMemo(
    () =>
      shown.flatMap((one) => {
        const { id: name } = one.record;
        const data = series[name];
        const own = reductions?.find(({ runId }) => runId === name)?.strokes;
        // Over each other lie only runs of which it is known when they began.
        const zero_s =
          one === run ? (zero ?? data?.from_s) : zeroOf(own?.find((each) => each.sense === sense));
        if (data === undefined || zero_s === undefined) return [];
        return [{ id: name, run: one, zero_s, stretches: data.stretches }];
      }),
    [shown, series, reductions, run, zero, sense],
  );
  const first = runs[0];
  const events = useMemo(
    () =>
      (stroke?.events ?? []).flatMap((event): readonly DrawnEvent[] => {
        const isHeld = held?.id === event.id;
        if (isHeld) return [{ id: event.id, x: held.x, isHeld }];
        return event.found && zero !== undefined
          ? [{ id: event.id, x: 1e3 * (event.time_s - zero), isHeld }]
          : [];
      }),
    [stroke, held, zero],
  );
  const data = series[id];
  const others = all.filter((one) => one !== run);
  return (
    <article>
      <h2>{id}</h2>
      {sealed?.leading !== undefined && (
        <p>
          <span className={css.huge} data-headline>
            {timeAlone(sealed.leading.measured_s, sealed.leading.dataUncertainty_s)}
          </span>
          +/- {timeAlone(sealed.leading.dataUncertainty_s, sealed.leading.dataUncertainty_s)},{" "}
          {definitionLabel(sealed.leading.definition)}
        </p>
      )}
      {sealed !== undefined && (
        <p>
          <FindingMark finding={sealed.finding} /> with the prediction sealed {dateWords(sealed.made)}
          {sealed.leading === undefined ? "" : `, ${comparisonWords(sealed.leading)}`}.
        </p>
      )}
      <p>
        Case {caseId}, {dateWords(run.record.date)}. <Link href="/tests">All tests</Link>
      </p>
      <RunConditions id={id} />
      <Progress at={id} />
      {strokes.length === 0 && !isBusy && (
        <p>
          No events are found in it.{" "}
          <button type="button" onClick={() => void findEvents(id)}>
            Find the events of {id}
          </button>{" "}
          Without them time counts from the first row of the log, and no prediction lies over it.
        </p>
      )}
      {strokes.length > 1 && (
        <label>
          Stroke{" "}
          <select value={number} onChange={({ target }) => setNumber(Number(target.value))}>
            {strokes.map(({ sense: way, from_s }, index) => (
              <option key={from_s} value={index}>
                {index + 1}, {way}
              </option>
            ))}
          </select>
        </label>
      )}
      {others.length > 0 && (
        <fieldset className={`${own.form} noprint`} aria-label="Runs shown over it">
          {others.map(({ record }) => (
            <label key={record.id} className={own.pick}>
              <input
                type="checkbox"
                checked={over.includes(record.id)}
                onChange={({ target }) => showOver(record.id, target.checked)}
              />
              {record.id} over it
            </label>
          ))}
        </fieldset>
      )}
      {shown
        .filter((one) => one !== run && reductions?.some(({ runId }) => runId === one.record.id) !== true)
        .map(({ record }) => (
          <p key={record.id}>
            When {record.id} began is not known yet.{" "}
            <button type="button" onClick={() => void findEvents(record.id, id)}>
              Find the events of {record.id}
            </button>
          </p>
        ))}
      {zero !== undefined && (
        <p>
          <small>
            {band?.band === undefined
              ? "The prediction is being worked out, or is not known."
              : `The band is that of ${band.band.samples} strokes${isOld ? ", and being worked out again" : ""}; speed, current and voltage are those of the strokes still in motion.`}
          </small>
        </p>
      )}
      {first !== undefined && data !== undefined && (
        <Series
          runs={runs}
          band={zero === undefined ? undefined : band?.band}
          events={events}
          whole={[1e3 * (data.from_s - first.zero_s), 1e3 * (data.to_s - first.zero_s)]}
          onHold={(event, x) => setHeld({ id: event, x })}
        />
      )}
      {stroke !== undefined && zero !== undefined && (
        <Events run={id} events={stroke.events} zero_s={zero} held={held} onHold={setHeld} />
      )}
    </article>
  );
}
