/** The events of a run: found with their uncertainty, moved by hand with a reason, or put back. */
import { useEffect, useState } from "react";
import type { DetectedEvent } from "../../../evidence/index.js";
import { keepMove } from "../../state/findingActs.js";
import { isBusyIn } from "../../state/tests.js";
import { css } from "../look.js";
import { Typed } from "./Column.js";
import { own } from "./look.js";
import { useTests } from "./useTests.js";
import { timeWords } from "./words.js";

/** An event that is being moved, since the zero of the series [ms]. */
export interface HeldEvent {
  readonly id: string;
  readonly x: number;
}

interface EventsProps {
  readonly run: string;
  readonly events: readonly DetectedEvent[];
  readonly zero_s: number;
  readonly held: HeldEvent | undefined;
  readonly onHold: (held: HeldEvent | undefined) => void;
}

/** How far an arrow key moves an event [ms]. */
const step = 0.1;
const reach = 200;

/** The list of events, and the form that moves one. */
export function Events({ run, events, zero_s, held, onHold }: EventsProps) {
  return (
    <>
      <h3>Events</h3>
      {held !== undefined && (
        <MoveEvent
          key={held.id}
          run={run}
          zero_s={zero_s}
          held={held}
          onHold={onHold}
          wasMoved={events.some((event) => event.id === held.id && event.found && event.moved !== undefined)}
        />
      )}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section className={css.scroll} aria-label="Events of the run" tabIndex={0}>
        <table>
          <caption className="unseen">Events, since the command</caption>
          <tbody>
            {events.map((event) => (
              <tr key={event.id} data-event={event.id}>
                <th scope="row">{event.id}</th>
                <td>
                  {event.found
                    ? timeWords(event.time_s - zero_s, event.standardUncertainty_s)
                    : `not found: ${event.because}`}
                  <br />
                  <small>
                    {event.found &&
                      (event.moved === undefined
                        ? event.how
                        : `moved by ${event.moved.who}: ${event.moved.why}; found ${event.moved.automatic.found ? `at ${timeWords(event.moved.automatic.time_s - zero_s)}` : "nowhere"}`)}
                  </small>
                </td>
                <td>
                  <button
                    type="button"
                    aria-label={`Move ${event.id}`}
                    onClick={() =>
                      onHold({ id: event.id, x: event.found ? 1e3 * (event.time_s - zero_s) : 0 })
                    }
                  >
                    Move
                  </button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  );
}

function MoveEvent({
  run,
  zero_s,
  held,
  onHold,
  wasMoved,
}: Omit<EventsProps, "events"> & { readonly held: HeldEvent; readonly wasMoved: boolean }) {
  const [who, setWho] = useState("");
  const [why, setWhy] = useState("");
  const [centre, setCentre] = useState(held.x);
  const isBusy = useTests(isBusyIn);
  useEffect(() => {
    if (Math.abs(held.x - centre) > reach) setCentre(held.x);
  }, [held.x, centre]);
  const keep = async (time_s: number | null): Promise<void> => {
    if (await keepMove(run, { event: held.id, time_s, who, why })) onHold(undefined);
  };
  const isSigned = who.trim() !== "" && why.trim() !== "";
  return (
    <section className={css.caution} aria-label={`Move ${held.id}`} data-move>
      <p>
        <strong>Moving {held.id}</strong> to {held.x.toFixed(1)} ms after the command. Drag its mark, or use
        the arrow keys here.
      </p>
      <input
        type="range"
        aria-label={`Time of ${held.id} [ms]`}
        aria-valuetext={`${held.x.toFixed(1)} ms`}
        min={centre - reach}
        max={centre + reach}
        step={step}
        value={held.x}
        onChange={({ target }) => onHold({ ...held, x: Number(target.value) })}
      />
      <div className={own.columns}>
        <Typed
          label="Time after the command [ms]"
          value={held.x.toFixed(1)}
          faults={[]}
          onSay={(text) => {
            const x = Number(text.replace(/\s*ms$/, ""));
            if (Number.isFinite(x)) onHold({ ...held, x });
          }}
        />
        <Said label="Who moves it" value={who} onSay={setWho} />
        <Said label="Why" value={why} onSay={setWhy} />
      </div>
      <div className={css.acts}>
        <button type="button" disabled={!isSigned || isBusy} onClick={() => void keep(zero_s + held.x / 1e3)}>
          Keep {held.id} there
        </button>
        {wasMoved && (
          <button type="button" disabled={!isSigned || isBusy} onClick={() => void keep(null)}>
            Put {held.id} back where it was found
          </button>
        )}
        <button type="button" onClick={() => onHold(undefined)}>
          Leave it
        </button>
      </div>
      {!isSigned && <p>What a person sets in place of what the log says stands with a name and a reason.</p>}
    </section>
  );
}

function Said({
  label,
  value,
  onSay,
}: {
  readonly label: string;
  readonly value: string;
  readonly onSay: (text: string) => void;
}) {
  return (
    <label>
      {label}
      <input type="text" value={value} onChange={({ target }) => onSay(target.value)} />
    </label>
  );
}
