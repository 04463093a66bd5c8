/** A finished document as the tree that the printer walks: elements with classes, text, and drawings whole. */
import type { DefaultTreeAdapterTypes } from "parse5";

export interface PrintText {
  readonly kind: "text";
  readonly text: string;
}

export interface PrintElement {
  readonly kind: "element";
  readonly name: string;
  readonly classes: ReadonlySet<string>;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly PrintNode[];
  /** Of a drawing its own text. */
  readonly source: string;
}

export type PrintNode = PrintText | PrintElement;

/** A document as it is printed. */
export interface PrintTree {
  /** Of its head. */
  readonly title: string;
  readonly nodes: readonly PrintNode[];
}

/** Reads a document of ours. What is in its head, in a template or a script is not printed. */
export async function printTree(page: string): Promise<PrintTree> {
  // Loaded when something is printed: a page that never prints does without it.
  const { parse } = await import("parse5");
  const document = parse(page, { sourceCodeLocationInfo: true });
  const nodes = nodesOf(document, page);
  return { title: titleIn(nodes), nodes: withoutHead(nodes) };
}

function titleIn(nodes: readonly PrintNode[]): string {
  for (const node of nodes) {
    if (node.kind === "text") continue;
    const found = node.name === "title" ? textIn(node) : node.name === "body" ? "" : titleIn(node.children);
    if (found !== "") return found;
  }
  return "";
}

function withoutHead(nodes: readonly PrintNode[]): readonly PrintNode[] {
  return nodes.flatMap((node): readonly PrintNode[] => {
    if (node.kind === "text") return [node];
    if (node.name === "head") return [];
    return node.name === "html" ? [{ ...node, children: withoutHead(node.children) }] : [node];
  });
}

const unprinted = new Set(["script", "style", "template", "nav"]);

function nodesOf(parent: DefaultTreeAdapterTypes.ParentNode, page: string): readonly PrintNode[] {
  return parent.childNodes.flatMap((node): readonly PrintNode[] => {
    if ("value" in node) return [{ kind: "text", text: node.value }];
    if (!("tagName" in node) || unprinted.has(node.tagName)) return [];
    const attributes = new Map(node.attrs.map(({ name, value }) => [name, value]));
    const at = node.sourceCodeLocation;
    const isDrawing = node.tagName === "svg" && at != null;
    return [
      {
        kind: "element",
        name: node.tagName,
        classes: new Set((attributes.get("class") ?? "").split(/\s+/).filter((word) => word !== "")),
        attributes,
        children: isDrawing ? [] : nodesOf(node, page),
        source: isDrawing ? page.slice(at.startOffset, at.endOffset) : "",
      },
    ];
  });
}

/** The text of a node as a reader sees it; what only a screen reader says is left out. */
export function textIn(node: PrintNode): string {
  if (node.kind === "text") return node.text;
  if (isUnseen(node)) return "";
  if (node.name === "wbr") return "\u200b";
  return node.children.map(textIn).join("");
}

/** Whether an element is for a screen reader alone, or decoration on a screen. */
export function isUnseen({ classes, attributes, name }: PrintElement): boolean {
  if (classes.has("unseen") || classes.has("data")) return true;
  return attributes.get("aria-hidden") === "true" && name !== "svg";
}
