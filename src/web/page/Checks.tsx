/** The checks of a question; equation, source and assumptions are one press away. */
import { type Check, checkWords, probabilityWords } from "../../question/index.js";
import { VerdictMark } from "./VerdictMark.js";

/** @param checks of one question */
export function Checks({ checks }: { readonly checks: readonly Check[] }) {
  return (
    <>
      {checks.map((check) => (
        // Not by what it says: one that was opened stays open through an edit.
        <details key={`${check.id} ${check.name}`}>
          <summary>
            <VerdictMark verdict={check.verdict} /> <strong>{check.name}</strong>: {checkWords(check)}
          </summary>
          <dl>
            {check.kind !== "unknown" && check.probability !== undefined && (
              <>
                <dt>Probability of meeting the limit</dt>
                <dd>{probabilityWords(check.probability)}</dd>
              </>
            )}
            <dt>Equation</dt>
            <dd>{check.equation}</dd>
            <dt>Source</dt>
            <dd>{check.source}</dd>
            <dt>Assumptions</dt>
            <dd>{check.assumptions.join(" ")}</dd>
          </dl>
        </details>
      ))}
    </>
  );
}
