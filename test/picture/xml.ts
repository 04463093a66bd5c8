/** A small reader of XML, strict where it matters for a picture: tags nest, attributes are quoted, entities are known. */

/** An element with its attributes, in document order. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  /** Text directly inside, entities resolved. */
  text: string;
}

/** All elements of a document; throws with the place of the first fault. */
export function readXml(source: string): readonly XmlElement[] {
  const elements: XmlElement[] = [];
  const open: XmlElement[] = [];
  let at = 0;
  while (at < source.length) {
    if (source[at] !== "<") {
      const end = source.indexOf("<", at);
      const text = source.slice(at, end === -1 ? source.length : end);
      const inside = open.at(-1);
      if (inside === undefined && text.trim() !== "") throw new Error(`text outside the root at ${at}`);
      if (inside !== undefined) inside.text += resolved(text, at);
      at += text.length;
      continue;
    }
    const closing = /^<\/([A-Za-z]+)>/.exec(source.slice(at, at + 100));
    if (closing !== null) {
      const last = open.pop();
      if (last?.name !== closing[1]) throw new Error(`</${closing[1]}> closes <${last?.name}> at ${at}`);
      at += closing[0].length;
      continue;
    }
    at = readTag(source, at, elements, open);
  }
  if (open.length > 0) throw new Error(`<${open.at(-1)?.name}> is never closed`);
  if (elements.length === 0) throw new Error("no element");
  return elements;
}

function readTag(source: string, start: number, elements: XmlElement[], open: XmlElement[]): number {
  const name = /^<([A-Za-z]+)/.exec(source.slice(start, start + 50));
  if (name === null) throw new Error(`stray < at ${start}`);
  if (open.length === 0 && elements.length > 0) throw new Error(`second root at ${start}`);
  let at = start + name[0].length;
  const attributes = new Map<string, string>();
  const attribute = /\s+([A-Za-z:-]+)="([^"<]*)"/y;
  while (true) {
    attribute.lastIndex = at;
    const found = attribute.exec(source);
    if (found === null) break;
    const [whole, key = "", value = ""] = found;
    if (attributes.has(key)) throw new Error(`attribute ${key} twice at ${at}`);
    attributes.set(key, resolved(value, at));
    at += whole.length;
  }
  const element: XmlElement = { name: name[1] ?? "", attributes, text: "" };
  elements.push(element);
  if (source.startsWith("/>", at)) return at + 2;
  if (!source.startsWith(">", at)) throw new Error(`<${element.name}> is not ended at ${at}`);
  open.push(element);
  return at + 1;
}

const entities: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'" };

function resolved(text: string, at: number): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what a document must not hold
  if (/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/.test(text)) throw new Error(`control at ${at}`);
  if (/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/.test(text))
    throw new Error(`half a character at ${at}`);
  return text.replace(/&([^;]{0,10});?/g, (whole, name: string) => {
    const character = entities[name];
    if (character === undefined || !whole.endsWith(";")) throw new Error(`unknown entity ${whole} at ${at}`);
    return character;
  });
}
