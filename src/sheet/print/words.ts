/** Writing for the typesetter: text as string literals alone, so that nothing of it can become a command. */
import { visible } from "../markup.js";

/** A text as a string literal. */
export function literal(text: string): string {
  return `"${visible(text).replaceAll("\\", "\\\\").replaceAll('"', '\\"')}"`;
}

/** A drawing, whose line ends stay, as a string literal. */
export function rawLiteral(text: string): string {
  return `"${text.replaceAll("\\", "\\\\").replaceAll('"', '\\"').replaceAll("\r", "").replaceAll("\n", "\\n")}"`;
}

/** Text within content. */
export function said(text: string): string {
  return text === "" ? "" : `#${literal(text)};`;
}

/** A call within content, with its content behind it. */
export function call(name: string, settings: string, content: string): string {
  return `#${name}${settings === "" ? "" : `(${settings})`}[${content}];`;
}

/** An id as a label; undefined where it cannot be one. */
export function labelOf(id: string | undefined): string | undefined {
  return id !== undefined && /^[A-Za-z][A-Za-z0-9_.:-]*$/.test(id) ? id : undefined;
}

/** A place that a link can lead to. */
export function anchorText(label: string): string {
  return `#metadata(none) <${label}>`;
}

/** Behind a dot, an underscore, a bracket or a stroke within a word of letters; units stay whole. */
export const breakPlaces = /(?<=[a-z]{3}[._/]|\])(?=[a-z]{2})/;
