/** Nodes of a YAML tree as texts and plain values. */
import { isMap, isScalar, isSeq, type Node, type Pair, type YAMLMap } from "yaml";

/** Text of a scalar as written, without quotes. */
export function scalarText(node: { readonly value: unknown; readonly source?: string | undefined }): string {
  return node.source ?? String(node.value ?? "");
}

/** Name of a pair; empty for a key that is no name. */
export function keyText(pair: Pair): string {
  return isScalar(pair.key) ? scalarText(pair.key) : "";
}

/** A node without its positions: texts as written, lists and sections one level deep. */
export function plainValue(node: Node): unknown {
  if (isScalar(node)) return typeof node.value === "boolean" ? node.value : scalarText(node);
  if (isMap(node))
    return Object.fromEntries(node.items.map((pair) => [keyText(pair), plainPart(pair.value)]));
  return [];
}

function plainPart(value: unknown): unknown {
  if (!isScalar(value)) return value === null ? null : [];
  if (value.value === null) return null;
  return typeof value.value === "boolean" ? value.value : scalarText(value);
}

/** The part of a value that a fault speaks of, as `high` in `{ nominal: 0.8, high: 1.3 }`. */
export function partPlace(map: YAMLMap, part: string | undefined): Node | undefined {
  if (part === undefined) return undefined;
  const pair = map.items.find((item) => keyText(item) === part);
  if (isScalar(pair?.value) && pair.value.value !== null) return pair.value;
  return isScalar(pair?.key) ? pair.key : undefined;
}

/** What a node is, in words: "a list", "the value 13". */
export function kindOf(node: Node): string {
  if (isMap(node)) return "a section";
  if (isSeq(node)) return "a list";
  if (isScalar(node) && typeof node.value === "boolean") return `the truth value ${node.value}`;
  return isScalar(node) ? `the value ${scalarText(node)}` : "a reference";
}
