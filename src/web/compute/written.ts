/** The values of a valve file as the page shows them: as typed, as read, and where they come from. */
import { isMap, isNode, isSeq, type Node, parseDocument } from "yaml";
import { type Dossier, describeSchema, itemAt, provenanceText, valueAt } from "../../dossier/index.js";
import { lawInterval } from "../../quantity/index.js";
import type { FieldValue } from "./protocol.js";

/**
 * Every field of the schema, those of lists once for each item the dossier has.
 *
 * @param text    of the valve file;  @param filled  the dossier with its defaults
 * @param given   the dossier as written
 */
export function fieldValues(text: string, given: Dossier, filled: Dossier): readonly FieldValue[] {
  const document = parseDocument(text, { version: "1.2", logLevel: "silent", prettyErrors: false });
  const root = document.errors.length === 0 && isNode(document.contents) ? document.contents : undefined;
  return describeSchema()
    .filter(({ kind }) => kind !== "section" && kind !== "list")
    .flatMap(({ path }) => itemPaths(filled.valve, path))
    .map((path) => fieldValue(path, root, text, given, filled));
}

/** `drive.stages[].efficiency` once for each stage. */
function itemPaths(valve: unknown, path: string): readonly string[] {
  const mark = path.indexOf("[]");
  if (mark < 0) return [path];
  const items = itemAt(valve, path.slice(0, mark));
  if (!Array.isArray(items)) return [];
  return items.flatMap((_, index) =>
    itemPaths(valve, `${path.slice(0, mark)}[${index}]${path.slice(mark + 2)}`),
  );
}

function fieldValue(
  path: string,
  root: Node | undefined,
  text: string,
  given: Dossier,
  filled: Dossier,
): FieldValue {
  const written = writtenAt(root, path, text);
  const declared = valueAt(filled, path);
  const item = itemAt(given.valve, path);
  if (declared === undefined) {
    const readAs = typeof item === "string" || typeof item === "number" ? String(item) : undefined;
    return { path, written, readAs, from: undefined, slide: undefined };
  }
  return {
    path,
    written,
    readAs: declared.readAs,
    from: provenanceText(declared),
    slide: { value: declared.value, ...slideEnds(declared) },
  };
}

/** A slider reaches half and double the value, and at least over the declared spread. */
function slideEnds(declared: NonNullable<ReturnType<typeof valueAt>>): { low: number; high: number } {
  const { value, law, dimension } = declared;
  const { low, high } = lawInterval(law, value);
  // A temperature has no double: its slider is a stretch around it.
  const around = dimension === "temperature" ? 30 : 0.5 * Math.abs(value);
  const above = dimension === "temperature" ? 30 : Math.max(Math.abs(value), 1e-12);
  const finite = (end: number, otherwise: number) =>
    Number.isFinite(end) && law.kind !== "normal" ? end : otherwise;
  return {
    low: Math.min(finite(low, value), value - around),
    high: Math.max(finite(high, value), value + above),
  };
}

function writtenAt(root: Node | undefined, path: string, text: string): string | undefined {
  let here: unknown = root;
  for (const [step] of path.matchAll(/[A-Za-z_]\w*|\d+/g)) {
    if (isSeq(here)) here = here.items[Number(step)];
    else if (isMap(here)) here = here.get(step, true);
    else return undefined;
  }
  if (!isNode(here) || here.range === undefined || here.range === null) return undefined;
  const written = text.slice(here.range[0], here.range[1]).replaceAll(/\s+/g, " ").trim();
  return written === "" ? undefined : written;
}
