/**
 * Writing HTML: text is escaped unless it is markup already, so that a name or a reason from a file
 * can neither become an element nor steer the reader.
 */

/** Finished HTML, made by `html` or `trusted`. */
export interface Markup {
  readonly markup: string;
}

/** What may stand in a template: text (escaped), a number, markup, or several of them one after the other. */
export type Inset = string | number | Markup | undefined | readonly Inset[];

/** HTML from a template; insets of text are escaped for content and for quoted attributes alike. */
export function html(fixed: TemplateStringsArray, ...insets: readonly Inset[]): Markup {
  const markup = fixed.reduce((whole, part, index) => `${whole}${insetText(insets[index - 1])}${part}`);
  return { markup };
}

/** Markup that another part of the program has made and escaped, as a picture. */
export function trusted(markup: string): Markup {
  return { markup };
}

/** Running text in which no line breaks between a number and its unit. */
export function prose(text: string): string {
  return text.replace(/(?<=\d) (?=\S)/g, "\u00a0").replaceAll("\u00a0N m", "\u00a0N\u00a0m");
}

/** Text whose parts between grave accents are words of the valve file. */
export function fileWords(text: string): Markup {
  return html`${text.split("`").map((part, index) => (index % 2 === 0 ? part : html`<code>${part}</code>`))}`;
}

/** The path of a field, which may break behind its dots and underscores. */
export function pathText(path: string): Markup {
  const parts = path.split(/(?<=[._\]])/);
  return html`<code>${parts.map((part, index) => (index === 0 ? part : html`<wbr>${part}`))}</code>`;
}

/** An instant as a reader sees it; what is no ISO 8601 stamp stays as it is. */
export function instantText(iso: string): Markup {
  if (!/^\d{4}-\d{2}-\d{2}T[\d:.]+(Z|[+-]\d{2}:\d{2})$/.test(iso)) return html`${iso}`;
  return html`<time datetime="${iso}">${prose(iso.replace("T", " ").replace(/Z$/, " UTC"))}</time>`;
}

/** A hash in groups, between which it may break. */
export function hashText(sha256: string): Markup {
  const groups = sha256.match(/.{1,8}/gs) ?? [];
  return html`<code class="hash">${groups.map((group, index) => (index === 0 ? group : html`<wbr>${group}`))}</code>`;
}

function insetText(inset: Inset): string {
  if (inset === undefined) return "";
  if (typeof inset === "string") return escaped(inset);
  if (typeof inset === "number") return String(inset);
  if ("markup" in inset) return inset.markup;
  return inset.map(insetText).join("");
}

const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

function escaped(text: string): string {
  return visible(text).replace(/[&<>"']/g, (character) => entities[character] ?? "");
}

const replacement = "\ufffd";

/** Text in which control characters and those that turn the direction of writing show as a replacement character. */
export function visible(text: string): string {
  let clean = "";
  for (const character of text) {
    const code = character.codePointAt(0) ?? 0;
    const isSpace = code === 0x09 || code === 0x0a || code === 0x0d;
    clean += isSpace ? " " : isHidden(code) ? replacement : character;
  }
  return clean;
}

function isHidden(code: number): boolean {
  const isControl = code < 0x20 || (code >= 0x7f && code < 0xa0);
  const turnsText = (code >= 0x202a && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069);
  const isSeparator = code === 0x2028 || code === 0x2029 || code === 0xfeff;
  const isSurrogate = code >= 0xd800 && code <= 0xdfff;
  return isControl || turnsText || isSeparator || isSurrogate || (code & 0xfffe) === 0xfffe;
}
