/** What a log would become: channels, events and times, each with its uncertainty and how it was found. */
import type { ImportResult } from "../../state/testCalls.js";
import { css } from "../look.js";
import { definitionLabel, timeWords } from "./words.js";

/** @param isStale it is being read anew */
export function LogShown({ shown, isStale }: { readonly shown: ImportResult; readonly isStale: boolean }) {
  const { rows, sense, events, times, timesNotKnown, notices, measuringNotices, mappingFrom, rejectedCount } =
    shown;
  return (
    <div className={isStale ? css.stale : ""} data-shown>
      {isStale && <strong>Being read anew; the last finding was:</strong>}
      <p>
        {rows} rows{rejectedCount > 0 ? `, ${rejectedCount} cells could not be read` : ""}
        {sense === null ? "; no stroke is found" : `; a stroke is found, ${sense}`}
        {mappingFrom === null ? "" : `; mapping as in run ${mappingFrom}`}.
      </p>
      <details>
        <summary>Channels as they would be kept</summary>
        <ul>
          {shown.channels.map(({ name, role, unit }) => (
            <li key={name}>
              {role.replaceAll("_", " ")}: {name}
              {unit === undefined ? "" : `, in ${unit}`}
            </li>
          ))}
        </ul>
      </details>
      {times.length > 0 && (
        <table>
          <caption>Times</caption>
          <tbody>
            {times.map(({ definition, value_s, standardUncertainty_s }) => (
              <tr key={definition}>
                <th scope="row">{definitionLabel(definition)}</th>
                <td>{timeWords(value_s, standardUncertainty_s)}</td>
              </tr>
            ))}
            {timesNotKnown.map(({ definition, because }) => (
              <tr key={definition}>
                <th scope="row">{definitionLabel(definition)}</th>
                <td>not known: {because}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {events.length > 0 && (
        <details>
          <summary>Events</summary>
          <ul>
            {events.map((event) => (
              <li key={event.id}>
                {event.id}:{" "}
                {event.found
                  ? `${timeWords(event.time_s, event.standardUncertainty_s)}, ${event.how}`
                  : `not found: ${event.because}`}
              </li>
            ))}
          </ul>
        </details>
      )}
      {[...notices, ...measuringNotices].map(({ code, text, field }) => (
        <p key={`${code} ${field} ${text}`}>
          <small>
            Note{field === undefined ? "" : ` ${field}`}: {text}.
          </small>
        </p>
      ))}
    </div>
  );
}
