/** A verdict as a mark: shape, word and colour say the same, each alone is enough. */
import type { Verdict } from "../../question/index.js";
import type { ShownAnswer } from "../state/workbench.js";
import { css } from "./look.js";

/** Name of the style class of a verdict. */
export function toneOf(verdict: Verdict): string {
  return verdict === "not known" ? "unknown" : verdict;
}

/** Full disc, half disc, cross, broken ring. */
export function VerdictShape({ verdict }: { readonly verdict: Verdict }) {
  const ring = { cx: 10, cy: 10, r: 7.5, fill: "none", stroke: "currentColor", strokeWidth: 2.5 };
  return (
    <svg className={css.shape} viewBox="0 0 20 20" aria-hidden="true" focusable="false">
      {verdict === "fails" && (
        <path d="M3.5 3.5l13 13M16.5 3.5l-13 13" stroke="currentColor" strokeWidth="3.5" fill="none" />
      )}
      {verdict === "not known" && <circle {...ring} strokeDasharray="3.4 2.5" />}
      {verdict === "thin" && <path d="M10 3a7 7 0 0 0 0 14z" fill="currentColor" />}
      {verdict === "holds" && <circle cx="10" cy="10" r="7" fill="currentColor" />}
      {(verdict === "thin" || verdict === "holds") && <circle {...ring} />}
    </svg>
  );
}

/** Shape and word. */
export function VerdictMark({ verdict }: { readonly verdict: Verdict }) {
  return (
    <span className={`${css.mark} ${toneOf(verdict)}`}>
      <VerdictShape verdict={verdict} />
      {verdict}
    </span>
  );
}

/** The mark of a shown answer; a first look at the nominal values alone has no verdict yet. */
export function VerdictNow({ shown }: { readonly shown: ShownAnswer }) {
  if (shown.samples > 0) return <VerdictMark verdict={shown.answer.verdict} />;
  return <strong>A first look:</strong>;
}

/** Name of the style class of a shown answer. */
export function toneNow({ answer, samples }: ShownAnswer): string {
  return toneOf(samples === 0 ? "not known" : answer.verdict);
}
