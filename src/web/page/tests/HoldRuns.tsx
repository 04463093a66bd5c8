/** Holding chosen runs against the prediction, and sealing one before a test. */
import { useId, useState } from "react";
import { holdRuns, sealCase } from "../../state/findingActs.js";
import { isBusyIn } from "../../state/tests.js";
import { css } from "../look.js";
import { useBench } from "../useBench.js";
import { own } from "./look.js";
import { useTests } from "./useTests.js";
import { dateWords, definitionLabel, timeWords } from "./words.js";

/** Openings behind a reconciliation, as the command has them. */
const usual = { samples: 4000, seed: 1 };

/** The form about the chosen runs. */
export function HoldRuns() {
  const chosen = useTests((bench) => bench.chosen);
  const isBusy = useTests(isBusyIn);
  const isEdited = useBench((bench) => bench.files["valve.yaml"] !== bench.base["valve.yaml"]?.text);
  const [sample, setSample] = useState(false);
  const names = chosen.length === 0 ? "no run is chosen" : chosen.join(", ");
  return (
    <>
      <div className={own.form}>
        <label className={own.pick}>
          <input type="checkbox" checked={sample} onChange={({ target }) => setSample(target.checked)} />
          Sample the posterior too, some ten seconds a run
        </label>
        <button
          type="button"
          disabled={chosen.length === 0 || isBusy}
          onClick={() => void holdRuns({ runs: chosen, sample, ...usual })}
        >
          Hold against the prediction: {names}
        </button>
      </div>
      {isEdited && <p>Runs are held against valve.yaml as it is saved, not as it is edited here.</p>}
    </>
  );
}

/** Sealing a prediction, and those that are sealed. */
export function Seals() {
  const id = useId();
  const cases = useBench((bench) => bench.reading?.cases) ?? [];
  const history = useBench((bench) => bench.evidence.history) ?? [];
  const isBusy = useTests(isBusyIn);
  const isEdited = useBench((bench) => bench.files["valve.yaml"] !== bench.base["valve.yaml"]?.text);
  const [caseId, setCase] = useState("");
  const seals = history.flatMap((one) => (one.kind === "prediction" ? [one] : []));
  return (
    <>
      <p>
        Seal the prediction before the test: what was predicted, from which values, can then not be changed
        any more.
      </p>
      <div className={own.form}>
        <div>
          <label htmlFor={id}>Case to be tested</label>
          <select id={id} value={caseId} onChange={({ target }) => setCase(target.value)}>
            <option value="">choose the case</option>
            {cases.map((one) => (
              <option key={one.id} value={one.id}>
                {one.id}
              </option>
            ))}
          </select>
        </div>
        <button
          type="button"
          disabled={caseId === "" || isBusy || isEdited}
          onClick={() => void sealCase(caseId)}
        >
          Seal the prediction{caseId === "" ? "" : ` of ${caseId}`}
        </button>
      </div>
      {isEdited && <p>Save first: the saved file is what is sealed.</p>}
      {seals.length > 0 && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
        <section className={css.scroll} aria-label="Sealed predictions" tabIndex={0}>
          <table>
            <caption>Sealed predictions</caption>
            <thead>
              <tr>
                <th scope="col">case</th>
                <th scope="col">sealed</th>
                <th scope="col">opening, 95 %</th>
                <th scope="col">SHA-256</th>
              </tr>
            </thead>
            <tbody>
              {seals.map(({ sha256, caseId: of, date, definition, time_s, band_s }) => (
                <tr key={sha256}>
                  <th scope="row">{of}</th>
                  <td>{dateWords(date)}</td>
                  <td>
                    {time_s === null ? "does not open" : timeWords(time_s)}
                    {band_s === null ? "" : `, ${timeWords(band_s.low)} to ${timeWords(band_s.high)}`},{" "}
                    {definitionLabel(definition)}
                  </td>
                  <td>
                    <code>{sha256.slice(0, 12)}</code>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
    </>
  );
}
