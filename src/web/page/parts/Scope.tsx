/** What a search would try, by which limits, and what is not known or not limited. */
import type { SeekScope } from "../../../seek/index.js";
import { css } from "../look.js";
import { Faults } from "../tests/Faults.js";
import { own } from "./look.js";
import { useSearchKey, useSeek } from "./useSeek.js";
import { limitText } from "./words.js";

/** The scope of the present state; marked while an edit is being read. */
export function Scope() {
  const key = useSearchKey();
  const shown = useSeek((bench) => bench.scope);
  if (shown === undefined) return <p>Reading what may be tried.</p>;
  const isStale = shown.key !== key;
  const { told } = shown;
  if (told.what === "refused")
    return (
      <div className={isStale ? css.stale : ""} data-scope>
        <Faults faults={told.faults} />
      </div>
    );
  return told.what === "scope" ? (
    <details className={isStale ? css.stale : ""} data-scope>
      <summary>
        {told.scope.candidates} choices may be tried, by {limited(told.scope).length} limits
      </summary>
      <Tried scope={told.scope} />
      <Limits scope={told.scope} />
    </details>
  ) : null;
}

const limited = ({ limits }: SeekScope) => limits.filter(({ most, least }) => (most ?? least) !== null);

const placeWords = {
  valve: "valve",
  motor: "motor",
  stage: "gear stages",
  battery: "battery",
  command: "command and current limit",
} as const;

function Tried({ scope }: { readonly scope: SeekScope }) {
  return (
    <>
      <h3>What may be tried</h3>
      <p>
        From <code>seek.try</code>, <code>seek.stages</code> and <code>seek.commands</code> of the valve file;
        what they do not name stays as declared.
      </p>
      <dl className={own.tried}>
        {scope.places.map(({ place, options }) => (
          <div key={place}>
            <dt>
              {placeWords[place]}: {countWords(scope, place, options.length)}
            </dt>
            <dd>{options.length === 0 ? "as declared" : options.join("; ")}</dd>
          </div>
        ))}
      </dl>
    </>
  );
}

function countWords(scope: SeekScope, place: keyof typeof placeWords, count: number): string {
  if (place !== "stage") return String(count);
  const { leastStages, mostStages, chains } = scope;
  if (count === 0) return "1 chain";
  return `${chains} chains of ${leastStages} to ${mostStages}`;
}

function Limits({ scope }: { readonly scope: SeekScope }) {
  return (
    <>
      <h3>By which limits</h3>
      <p>
        Each must be met at the nominal values and by {Math.round(1000 * scope.wanted) / 10} % of{" "}
        {scope.samples} samples.
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section className={css.scroll} aria-label="Limits of the search" tabIndex={0}>
        <table>
          <caption className="unseen">Limits of the search</caption>
          <thead>
            <tr>
              <th scope="col">figure</th>
              <th scope="col">limit</th>
              <th scope="col">from</th>
            </tr>
          </thead>
          <tbody>
            {limited(scope).map((limit) => (
              <tr key={limit.id}>
                <th scope="row">{limit.name}</th>
                <td>{limitText(limit)}</td>
                <td>
                  <code>{limit.field}</code>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {scope.unlimited.length > 0 && (
        <p data-unlimited>
          Not known, so not a limit:{" "}
          {scope.unlimited.map(({ name, field }) => `${name} (${field})`).join("; ")}.
        </p>
      )}
    </>
  );
}
