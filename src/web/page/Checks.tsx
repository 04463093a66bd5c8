/** The checks of a question; equation, source and assumptions are one press away. */
import { type Answer, type Check, checkWords, probabilityWords } from "../../question/index.js";
import { askNote } from "../state/acts.js";
import { keepText } from "./keepFile.js";
import { VerdictMark } from "./VerdictMark.js";

/** The calculation note of a check as a file. */
async function keepNote(answer: Answer, check: Check): Promise<void> {
  const { number, question, cautions } = answer;
  keepText(await askNote({ number, question, cautions, checks: [check] }), `${check.id}.html`, "text/html");
}

/** @param answer with its checks; an outdated one has no note: its values are no more those of the file */
export function Checks({ answer, isStale }: { readonly answer: Answer; readonly isStale: boolean }) {
  return (
    <>
      {answer.checks.map((check) => (
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
          <button
            type="button"
            className="noprint"
            disabled={isStale}
            onClick={() => keepNote(answer, check)}
          >
            Calculation note
          </button>
        </details>
      ))}
    </>
  );
}
