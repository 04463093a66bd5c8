/** The motor-driven ball valve against other ways to open the same flow: the record of `coldturn trade`. */
import type { Concept, ConceptFigure, Trade } from "../../../seek/index.js";
import { css } from "../look.js";
import { Faults } from "../tests/Faults.js";
import { useSearchKey, useSeek } from "./useSeek.js";
import { valueText } from "./words.js";

/** The trade of the present state; marked while an edit is being read. */
export function TradeTable() {
  const key = useSearchKey();
  const shown = useSeek((bench) => bench.trade);
  return (
    <section aria-label="Other ways to open" data-trade>
      <h3>Why a motor, and not a solenoid?</h3>
      {shown === undefined && <p>Working out the other ways to open.</p>}
      {shown?.told.what === "refused" && <Faults faults={shown.told.faults} />}
      {shown?.told.what === "trade" && (
        <div className={shown.key === key ? "" : css.stale}>
          {shown.key !== key && <strong>Being worked out again; the last numbers were:</strong>}
          <Ways trade={shown.told.trade} />
        </div>
      )}
    </section>
  );
}

function Ways({ trade: { concepts, inputs, cautions, difference } }: { readonly trade: Trade }) {
  return (
    <>
      <p>
        {difference === null
          ? "The pressure across the shut valve is not known. "
          : `All of them open against ${valueText(difference, "pressure difference")} across the shut valve. `}
        For the bore, the pressure and the duty of this valve: orders of size, not designs. Masses are of the
        actuators alone, without body and supply.
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard */}
      <section className={css.scroll} aria-label="What each way to open takes" tabIndex={0}>
        <table>
          <caption className="unseen">What each way to open takes, and what of the duty it cannot do</caption>
          <thead>
            <tr>
              <th scope="col">concept</th>
              <th scope="col">opening takes</th>
              <th scope="col">power</th>
              <th scope="col">gas</th>
              <th scope="col">actuator</th>
              <th scope="col">throttles</th>
              <th scope="col">without power</th>
              <th scope="col">used again</th>
              <th scope="col">cannot</th>
            </tr>
          </thead>
          <tbody>
            {concepts.map((concept) => (
              <tr key={concept.id}>
                <th scope="row">{concept.name}</th>
                <td>{figureText(concept.opening)}</td>
                <td>{figureText(concept.power)}</td>
                <td>{figureText(concept.gas)}</td>
                <td>{figureText(concept.mass)}</td>
                <td>{concept.throttles ? "yes" : "no"}</td>
                <td>{concept.withoutPower}</td>
                <td>{concept.reuse}</td>
                <td>
                  {concept.against.length === 0 ? "nothing that is asked here" : concept.against.join("; ")}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <div className={css.caution} role="note" aria-label="Caution">
        {cautions.map((words) => (
          <p key={words}>{words}</p>
        ))}
      </div>
      <details className="noprint">
        <summary>By which equation, from which inputs</summary>
        <ul>
          {concepts.map((concept) => (
            <li key={concept.id}>
              <strong>{concept.name}</strong>: {equationsText(concept)}
            </li>
          ))}
        </ul>
        <dl>
          {inputs.map(({ name, words, origin, because, reference }) => (
            <div key={name}>
              <dt>
                {name}: {words} ({origin === "declared" ? "valve file" : "usual value"})
              </dt>
              <dd>{[because, reference].filter((text) => text !== undefined).join(" ")}</dd>
            </div>
          ))}
        </dl>
      </details>
    </>
  );
}

function figureText(figure: ConceptFigure | undefined): string {
  return figure === undefined ? "none" : valueText(figure.value, figure.dimension);
}

function equationsText({ opening, power, gas, mass, further, needs }: Concept): string {
  const figures = [opening, power, gas, mass, ...further].filter((each) => each !== undefined);
  const said = figures.map((each) => `${each.what} ${figureText(each)} (${each.equation})`).join("; ");
  return `${said}.${needs.length === 0 ? "" : ` Not known: ${needs.join(", ")}.`}`;
}
