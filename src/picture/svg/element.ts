/** Writing SVG: elements, escaping, rounded numbers. */
import { cleanText } from "../words.js";

/** Values of attributes; one that is undefined is left out. */
export type Attributes = Readonly<Record<string, string | number | undefined>>;

// Nothing lies this far outside a picture; it keeps clipped marks printable.
const farOutside = 1e5;

/** A coordinate as printed: two decimals, no exponent, never -0, never NaN. */
export function pixel(value: number): number {
  if (Number.isNaN(value)) return 0;
  const near = Math.max(-farOutside, Math.min(farOutside, value));
  return Math.round(near * 100) / 100 || 0;
}

/** One element; children are markup already (see `words` for text). */
export function element(name: string, attributes: Attributes, ...children: readonly string[]): string {
  let open = `<${name}`;
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined) continue;
    open += ` ${key}="${typeof value === "number" ? pixel(value) : escapeXml(value)}"`;
  }
  return children.length === 0 ? `${open}/>` : `${open}>${children.join("")}</${name}>`;
}

/** Text as content of an element. */
export function words(text: string): string {
  return escapeXml(text);
}

function escapeXml(text: string): string {
  return cleanText(text)
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;")
    .replaceAll("'", "&apos;");
}
