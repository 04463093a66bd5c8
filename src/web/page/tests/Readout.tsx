/** What stands at the crosshair, with units. */

import { valueAt } from "../../compute/stretch.js";
import { css } from "../look.js";
import type { ShownPanel } from "./shownSeries.js";

/** Digits of a reading. */
const digits = 4;
const show = (value: number | undefined): string =>
  value === undefined ? "-" : String(Number(value.toPrecision(digits)));

/** @param at the crosshair [ms] */
export function Readout({ panels, at }: { readonly panels: readonly ShownPanel[]; readonly at: number }) {
  const runs = [
    ...new Set(
      panels.flatMap(({ lines }) =>
        lines.filter(({ role }) => role === "measurement").map(({ label }) => label),
      ),
    ),
  ];
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
    <section className={css.scroll} aria-label="Readings at the crosshair" tabIndex={0} data-readout>
      <table>
        <caption>Readings at {at.toFixed(1)} ms</caption>
        <thead>
          <tr>
            <th scope="col">quantity</th>
            <th scope="col">predicted</th>
            <th scope="col">95 % of strokes</th>
            {runs.map((run) => (
              <th scope="col" key={run}>
                {run}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {panels.map(({ quantity, band, lines }) => {
            const predicted = lines.find(({ role }) => role === "prediction");
            const low = band === undefined ? undefined : valueAt({ x: band.x, y: band.low }, at);
            const high = band === undefined ? undefined : valueAt({ x: band.x, y: band.high }, at);
            return (
              <tr key={quantity.id}>
                <th scope="row">
                  {quantity.label} [{quantity.unit}]
                </th>
                <td>{predicted === undefined ? "-" : show(valueAt(predicted, at))}</td>
                <td>{low === undefined ? "-" : `${show(low)} to ${show(high)}`}</td>
                {runs.map((run) => {
                  const line = lines.find(({ role, label }) => role === "measurement" && label === run);
                  return <td key={run}>{line === undefined ? "-" : show(valueAt(line, at))}</td>;
                })}
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}
