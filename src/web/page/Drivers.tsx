/** What an answer hangs on, the strongest first, and how its strength is measured. */
import { type Driver, measureWords } from "../../question/index.js";
import { css } from "./look.js";

/** @param drivers of one answer; a value stands in it once for each number that it moves */
export function Drivers({ drivers }: { readonly drivers: readonly Driver[] }) {
  if (drivers.length === 0) return null;
  return (
    <>
      <h3>What drives it</h3>
      <ul className={css.drivers}>
        {drivers.map(({ path, label, words, share }) => (
          <li key={`${path} ${label} ${words}`}>
            <meter min={0} max={1} value={Math.min(Math.max(share, 0), 1)} aria-label={label} />{" "}
            <strong>{label}</strong>: {words}
          </li>
        ))}
      </ul>
      {[...new Set(drivers.map(({ measure }) => measure))].map((measure) => (
        <p key={measure}>
          <small>{measureWords[measure]}</small>
        </p>
      ))}
    </>
  );
}
