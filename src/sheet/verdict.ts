/** A verdict as a mark: shape, word and colour say the same, each alone is enough. */
import type { Finding } from "../evidence/index.js";
import type { Verdict } from "../question/index.js";
import { html, type Markup, trusted } from "./markup.js";

/** A verdict of a check or a finding of a test. */
export type Judgement = Verdict | Finding;

interface Look {
  readonly className: string;
  readonly shape: Markup;
}

const svg = (body: string): Markup =>
  trusted(`<svg class="shape" viewBox="0 0 20 20" aria-hidden="true" focusable="false">${body}</svg>`);
const ring = `<circle cx="10" cy="10" r="7.5" fill="none" stroke="currentColor" stroke-width="2.5"/>`;

/** Full disc, half disc, cross, broken ring. */
const full: Look = {
  className: "holds",
  shape: svg(`${ring}<circle cx="10" cy="10" r="7" fill="currentColor"/>`),
};
const half: Look = {
  className: "thin",
  shape: svg(`${ring}<path d="M10 3a7 7 0 0 0 0 14z" fill="currentColor"/>`),
};
const crossed: Look = {
  className: "fails",
  shape: svg(
    `<path d="M3.5 3.5l13 13M16.5 3.5l-13 13" stroke="currentColor" stroke-width="3.5" fill="none"/>`,
  ),
};
const open: Look = {
  className: "unknown",
  shape: svg(
    `<circle cx="10" cy="10" r="7.5" fill="none" stroke="currentColor" stroke-width="2.5" stroke-dasharray="3.4 2.5"/>`,
  ),
};

const looks: Readonly<Record<Judgement, Look>> = {
  holds: full,
  agrees: full,
  thin: half,
  fails: crossed,
  disagrees: crossed,
  "not known": open,
  "cannot tell": open,
};

/** Name of the style class of a judgement. */
export function judgementClass(judgement: Judgement): string {
  return looks[judgement].className;
}

/** The shape alone, for where the word stands beside it. */
export function judgementShape(judgement: Judgement): Markup {
  return looks[judgement].shape;
}

/** Shape and word. */
export function judgementMark(judgement: Judgement): Markup {
  const { className, shape } = looks[judgement];
  return html`<span class="mark ${className}">${shape}${judgement}</span>`;
}

/** The judgement that a text is, or undefined. */
export function judgementOf(text: string): Judgement | undefined {
  return isJudgement(text) ? text : undefined;
}

function isJudgement(text: string): text is Judgement {
  return Object.hasOwn(looks, text);
}
