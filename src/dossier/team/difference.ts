/**
 * What two people have made of one file: the values in which their versions differ, each beside the
 * one both began with. Of a file that is no YAML there is nothing to set side by side.
 */
import { isMap, isSeq, parseDocument } from "yaml";

/** A value that differs; undefined where the version does not have it. */
export interface DifferentValue {
  /** As `drive.stages[1].efficiency`. */
  readonly path: string;
  /** What both began with. */
  readonly before: string | undefined;
  readonly theirs: string | undefined;
  readonly mine: string | undefined;
}

/**
 * The values that differ between two versions of a YAML file, in the order of their first appearance.
 * Comments and the order of keys are no values.
 *
 * @param before  what both began with; undefined where the file is new
 * @returns       undefined where a version cannot be read as YAML
 */
export function differentValues(
  before: string | undefined,
  theirs: string,
  mine: string,
): readonly DifferentValue[] | undefined {
  const [first, second, third] = [before ?? "", theirs, mine].map(valuesIn);
  if (first === undefined || second === undefined || third === undefined) return undefined;
  const paths = new Set([...second.keys(), ...third.keys()]);
  return [...paths]
    .filter((path) => second.get(path) !== third.get(path))
    .map((path) => ({
      path,
      before: first.get(path),
      theirs: second.get(path),
      mine: third.get(path),
    }));
}

/** The values of a YAML text by their paths. */
function valuesIn(text: string): ReadonlyMap<string, string> | undefined {
  const document = parseDocument(text, { version: "1.2", prettyErrors: false, logLevel: "silent" });
  if (document.errors.length > 0) return undefined;
  const values = new Map<string, string>();
  const walk = (node: unknown, path: string): void => {
    if (isMap(node)) {
      for (const { key, value } of node.items)
        walk(value, path === "" ? String(key) : `${path}.${String(key)}`);
    } else if (isSeq(node))
      for (const [index, item] of node.items.entries()) walk(item, `${path}[${String(index)}]`);
    else if (node !== null) values.set(path, String(node));
  };
  walk(document.contents, "");
  return values;
}
