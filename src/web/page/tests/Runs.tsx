/** The tests made so far: conditions, the sealed prediction beside what was measured, and what follows. */
import { Link } from "wouter";
import type { Comparison } from "../../../evidence/index.js";
import { chooseRun } from "../../state/findingActs.js";
import type { ServedRun } from "../../state/workbench.js";
import { css } from "../look.js";
import { useBench } from "../useBench.js";
import { VerdictShape } from "../VerdictMark.js";
import { own } from "./look.js";
import { useTests } from "./useTests.js";
import { dateWords, definitionLabel, timeAlone, timeWords } from "./words.js";

/** A finding in shape and word. */
export function FindingMark({ finding }: { readonly finding: Comparison["finding"] }) {
  const verdict = { agrees: "holds", disagrees: "fails", "cannot tell": "not known" } as const;
  const tone = { agrees: "holds", disagrees: "fails", "cannot tell": "unknown" }[finding];
  return (
    <span className={`${css.mark} ${tone}`}>
      <VerdictShape verdict={verdict[finding]} />
      {finding}
    </span>
  );
}

/** Predicted and measured, in one line. */
export function comparisonWords({
  definition,
  predicted_s,
  measured_s,
  error_s,
  validationUncertainty_s,
  dataUncertainty_s,
}: Comparison): string {
  return `${definitionLabel(definition)}: predicted ${timeWords(predicted_s)}, measured ${timeWords(measured_s, dataUncertainty_s)}; the prediction is off by ${timeWords(error_s)}; less than ${timeWords(2 * validationUncertainty_s)} cannot be told apart`;
}

/** One line for each run. */
export function Runs() {
  const runs = useBench((bench) => bench.runs);
  if (runs.length === 0) return <p>No test is recorded yet.</p>;
  return (
    <ul className={own.runs}>
      {runs.map((run) => (
        <Run key={run.record.id} run={run} />
      ))}
    </ul>
  );
}

function Run({ run: { record, isUsedToFit, isHeld } }: { readonly run: ServedRun }) {
  const isChosen = useTests((bench) => bench.chosen.includes(record.id));
  const sealed = useBench((bench) => bench.evidence.sealedFindings?.find(({ runId }) => runId === record.id));
  const now = useBench((bench) => bench.evidence.reconciliations.find(({ runId }) => runId === record.id));
  const leading = sealed?.leading ?? now?.leading;
  return (
    <li data-run={record.id}>
      <h3>
        <Link href={`/tests/${record.id}`}>{record.id}</Link>
      </h3>
      <p>
        Case {record.case}, {dateWords(record.date)}, from {record.original.file}
        {record.furtherFiles === undefined ? "" : ` and ${record.furtherFiles.length} more`}.
      </p>
      {leading !== undefined && (
        <p>
          <span className={css.big}>{timeAlone(leading.measured_s, leading.dataUncertainty_s)}</span>
          +/- {timeAlone(leading.dataUncertainty_s, leading.dataUncertainty_s)},{" "}
          {definitionLabel(leading.definition)}
        </p>
      )}
      <RunConditions id={record.id} />
      {sealed === undefined ? (
        <p>No prediction of this case was sealed before it, or it is not held against one yet.</p>
      ) : (
        <p>
          <FindingMark finding={sealed.finding} /> with the prediction sealed {dateWords(sealed.made)}
          {sealed.leading === undefined ? "" : `, ${comparisonWords(sealed.leading)}`}.
        </p>
      )}
      {now !== undefined && !isUsedToFit && (
        <p>
          <FindingMark finding={now.finding} /> with{" "}
          {now.held.sealed === undefined
            ? "the values as they are"
            : "what was sealed, at the conditions of the test"}
          .
        </p>
      )}
      {isUsedToFit && <p>Present values were fitted to it: it counts neither for nor against them.</p>}
      {!isHeld && <p>It is not held against the values as they are.</p>}
      <label className={own.pick}>
        <input
          type="checkbox"
          checked={isChosen}
          onChange={({ target }) => chooseRun(record.id, target.checked)}
        />
        Choose {record.id}
      </label>
    </li>
  );
}

/** Conditions as they were measured or stated. */
export function RunConditions({ id }: { readonly id: string }) {
  const stated = useBench((bench) => bench.runs.find(({ record }) => record.id === id)?.record.conditions);
  const sealed = useBench((bench) => bench.evidence.sealedFindings?.find(({ runId }) => runId === id));
  const fluid = useFluids(
    useBench((bench) => bench.runs.find(({ record }) => record.id === id)?.record.case),
  );
  const words = [
    ...(sealed?.asTested?.conditions ?? []).map(
      ({ path, testedText, declaredText, from }) =>
        `${path} ${testedText} by ${from}, declared ${declaredText}`,
    ),
    ...Object.entries(stated ?? {}).map(([path, text]) => `${path} ${text} as stated in run.yaml`),
  ];
  return (
    <>
      {words.length > 0 && (
        <p>
          <small>Tested at: {words.join("; ")}.</small>
        </p>
      )}
      {fluid.tested !== fluid.duty && (
        <p>
          <small>
            Made {fluid.tested === "none" || fluid.tested === undefined ? "dry" : `with ${fluid.tested}`}, the
            duty is with {fluid.duty ?? "a fluid that is not known"}: it shows motion and torque, and nothing
            of what {fluid.duty ?? "that fluid"} does to materials.
          </small>
        </p>
      )}
    </>
  );
}

/** Fluid of a case and of the duty, as they stand in the file. */
function useFluids(caseId: string | undefined): {
  readonly tested: string | undefined;
  readonly duty: string | undefined;
} {
  const values = useBench((bench) => bench.reading?.values) ?? [];
  const written = (path: string): string | undefined => values.find((value) => value.path === path)?.written;
  const duty = written("duty.fluid");
  const place = values.find(
    ({ path, written: id }) => /^cases\[\d+\]\.id$/.test(path) && id === caseId,
  )?.path;
  return {
    tested: caseId === "duty" || place === undefined ? duty : written(place.replace(/id$/, "fluid")),
    duty,
  };
}
