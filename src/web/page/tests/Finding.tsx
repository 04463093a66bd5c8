/** Runs held against the prediction: the finding, the ledger, and each proposed value to accept or to refuse. */
import { decide, proposalsIn, wantAlthough, writeAccepted } from "../../state/findingActs.js";
import type { ShownFinding } from "../../state/tests.js";
import { isBusyIn } from "../../state/tests.js";
import { css } from "../look.js";
import { Picture } from "../Picture.js";
import { Tables } from "../Tables.js";
import { useBench } from "../useBench.js";
import { own } from "./look.js";
import { Progress } from "./Progress.js";
import { comparisonWords, FindingMark } from "./Runs.js";
import { useTests } from "./useTests.js";

/** What the last reconciliation found; nothing before there is one. */
export function Finding() {
  const finding = useTests((bench) => bench.finding);
  if (finding === undefined) return null;
  return (
    <section aria-label="Finding" data-finding>
      <h3>Finding</h3>
      {finding.result.runs.map(({ reconciliation, sealedFinding, answer, notices }) => (
        <article key={`${reconciliation.runId} ${reconciliation.sense}`}>
          <h4>{reconciliation.runId}</h4>
          <p>
            <FindingMark finding={reconciliation.finding} /> with the values as they are
            {reconciliation.leading === undefined ? "" : `, ${comparisonWords(reconciliation.leading)}`}.
          </p>
          <p>
            {sealedFinding === null ? (
              "No prediction of its case was sealed before it."
            ) : (
              <>
                <FindingMark finding={sealedFinding.finding} /> with the prediction sealed before it
                {sealedFinding.leading === undefined ? "" : `, ${comparisonWords(sealedFinding.leading)}`}.
              </>
            )}
          </p>
          <p>{answer.sentence}</p>
          {notices.map(({ code, text }) => (
            <p key={`${code} ${text}`}>
              <small>Note: {text}.</small>
            </p>
          ))}
          {answer.figures
            .filter(({ kind }) => kind === "waterfall")
            .map((figure) => (
              <Picture key={figure.id} figure={figure} />
            ))}
          <details>
            <summary>Numbers and pictures of {reconciliation.runId}</summary>
            {answer.figures
              .filter(({ kind }) => kind !== "waterfall")
              .map((figure) => (
                <Picture key={figure.id} figure={figure} />
              ))}
            <Tables tables={answer.tables} />
          </details>
        </article>
      ))}
      <Proposals finding={finding} />
    </section>
  );
}

function Proposals({ finding }: { readonly finding: ShownFinding }) {
  const proposals = proposalsIn(finding);
  const isBusy = useTests(isBusyIn);
  const isOld = useBench((bench) => bench.base["valve.yaml"]?.sha256 !== finding.base);
  const isEdited = useBench((bench) => bench.files["valve.yaml"] !== bench.base["valve.yaml"]?.text);
  const accepted = Object.values(finding.decided).filter((choice) => choice === "accept").length;
  const open = proposals.filter(({ path }) => finding.decided[path] === undefined).length;
  const refusals = [...new Set(proposals.flatMap((one) => one.refusals))];
  if (proposals.length === 0) return <p>No value is proposed.</p>;
  return (
    <>
      <h3>Proposed values</h3>
      <p>Nothing is written before you accept it. What is neither accepted nor refused stays as it is.</p>
      {proposals.map(({ path, now, proposed, because }) => (
        <fieldset key={path} className={own.proposal} data-proposal={path} aria-label={path}>
          <div>
            <strong>{path}</strong>: <code>{now}</code> would become <code>{proposed}</code>
            <p>
              <small>{because}</small>
            </p>
          </div>
          <div className={css.acts}>
            {(["accept", "refuse"] as const).map((choice) => (
              <button
                key={choice}
                type="button"
                aria-pressed={finding.decided[path] === choice}
                aria-label={`${choice} ${path}`}
                onClick={() => decide(path, choice)}
              >
                {choice === "accept" ? "Accept" : "Refuse"}
              </button>
            ))}
          </div>
        </fieldset>
      ))}
      {refusals.length > 0 && (
        <div className={css.caution} role="note">
          <p>
            This update does not stand: {refusals.join("; ")}. Its values are no causes of what was measured.
          </p>
          <label className={own.pick}>
            <input
              type="checkbox"
              checked={finding.althoughItDoesNotStand}
              onChange={({ target }) => wantAlthough(target.checked)}
            />
            Write the accepted values although it does not stand; each will say so
          </label>
        </div>
      )}
      {isOld && (
        <p className={css.fault} role="alert">
          valve.yaml was changed since this was found. Hold the runs against the prediction again.
        </p>
      )}
      {isEdited && <p>What you edited and have not saved is not part of this finding; it stays.</p>}
      <button
        type="button"
        disabled={
          accepted === 0 || isOld || isBusy || (refusals.length > 0 && !finding.althoughItDoesNotStand)
        }
        onClick={() => void writeAccepted()}
      >
        Write {accepted} accepted {accepted === 1 ? "value" : "values"} into valve.yaml
      </button>
      <Progress at="accept" />
      <p>
        {proposals.length} proposed, {accepted} accepted, {proposals.length - accepted - open} refused, {open}{" "}
        open.
      </p>
    </>
  );
}
