/**
 * Reads a file of the dossier along its list of fields. Every fault is reported, each at its place; a
 * field with a fault is not known, and its neighbours are read all the same.
 */
import { type Alias, type Document, isAlias, isMap, isScalar, isSeq, type Node, type YAMLMap } from "yaml";
import { type Fault, nearName, type Place, Refusal } from "../fault/index.js";
import type { Declared } from "../quantity/index.js";
import type { ParsedFile } from "./document.js";
import type {
  ChoiceField,
  CountField,
  Field,
  ListField,
  QuantityField,
  SectionField,
  SectionValue,
  Shape,
} from "./field.js";
import { keyText, kindOf, partPlace, plainValue, scalarText } from "./node.js";
import { childPath, pathsEndingWith } from "./path.js";

/** Bounds the work that references (*) can multiply; no list of a valve is longer. */
const mostItems = 200;
/** Names shown of a section before the list is cut. */
const mostNamesShown = 40;

/** Reads one physical value; throws a Refusal for a value that is none. */
export type ValueReader = (raw: unknown, field: QuantityField, path: string) => Declared;

/** What was read from one file. */
export interface FieldsRead<S extends Shape> {
  readonly value: SectionValue<S>;
  readonly faults: readonly Fault[];
  /** Place of each field that the file names, by its path, also of those that could not be read. */
  readonly places: ReadonlyMap<string, Place>;
}

/** A value as read, before it gets the type that its field promises. */
type Read = Declared | string | number | ReadSection | readonly (ReadSection | undefined)[];
interface ReadSection {
  readonly [name: string]: Read | undefined;
}

/**
 * Reads all fields of a file.
 *
 * @param fields     the fields the file may have
 * @param parsed     the file as a tree
 * @param readValue  reads a physical value, with the file's own atmosphere for gauge pressures
 */
export function readFields<S extends Shape>(
  fields: SectionField<S>,
  parsed: ParsedFile,
  readValue: ValueReader,
): FieldsRead<S> {
  const reader = new FieldReader(parsed, fields, readValue);
  const value = parsed.document === undefined ? {} : reader.readRoot(parsed.document);
  return {
    // The reader builds exactly what the fields describe; the type cannot follow the loop.
    value: value as SectionValue<S>,
    faults: [...parsed.faults, ...reader.faults],
    places: reader.places,
  };
}

/** What a field takes, in words for the fault. */
interface Wanted {
  readonly what: string;
  readonly allowed?: string;
  readonly mend: string;
}

const aSection = (fields: Shape): Wanted => ({
  what: "a section",
  allowed: `Its fields are ${quotedNames(fields)}.`,
  mend: "Write its fields as `name: value` lines, indented below its name",
});
const aList = (fields: Shape): Wanted => ({
  what: "a list",
  allowed: `Each item has the fields ${quotedNames(fields)}.`,
  mend: "Begin each item on a line of its own with a dash and a space",
});
const anItem = (fields: Shape): Wanted => ({
  what: "an item with named fields",
  allowed: `Its fields are ${quotedNames(fields)}.`,
  mend: "Write the fields of the item as `name: value` lines behind and below its dash",
});
const aValue = (example: string): Wanted => ({
  what: "one value",
  mend: `Write, for example, ${example}; a range is { from: ..., to: ... }`,
});
const aText: Wanted = {
  what: "a text",
  mend: "Write words; put them in quotes if YAML takes them for something else",
};
const aWholeNumber: Wanted = { what: "a whole number", mend: "Write the number alone" };

/** The walk over one file; its state is what it has found so far. */
class FieldReader {
  readonly faults: Fault[] = [];
  readonly places = new Map<string, Place>();
  readonly #parsed: ParsedFile;
  readonly #root: SectionField;
  readonly #readValue: ValueReader;
  /** Names already reported; a labelled section is read wherever it is referred to. */
  readonly #reported = new Set<unknown>();

  constructor(parsed: ParsedFile, root: SectionField, readValue: ValueReader) {
    this.#parsed = parsed;
    this.#root = root;
    this.#readValue = readValue;
  }

  readRoot(document: Document.Parsed): ReadSection {
    const root: unknown = document.contents;
    if (isMap(root)) return this.#readSection(this.#root, root, "");
    const node = this.#nodeOf(root);
    this.#report("wrong-kind", this.#placeOf(node, ""), {
      found: "the file does not begin with a field",
      allowed: `Its fields are ${quotedNames(this.#root.fields)}.`,
      mend: "Write `name: value` lines, or start from the file that `coldturn new` writes (hazards.yaml: `coldturn hazards`)",
    });
    return {};
  }

  #readField(field: Field, node: Node | undefined, path: string, keyPlace: Place): Read | undefined {
    const target = isAlias(node) ? this.#resolve(node, path) : node;
    if (target === undefined || (isScalar(target) && target.value === null)) return undefined;
    // A section or list is shown by its name: its text may fill the page.
    const place = isMap(target) || isSeq(target) ? keyPlace : this.#placeOf(node, path);
    this.places.set(path, place);
    switch (field.kind) {
      case "section":
        if (isMap(target)) return this.#readSection(field, target, path);
        return this.#wrongKind(place, kindOf(target), aSection(field.fields));
      case "list":
        if (isSeq(target)) return this.#readList(field, target.items, path, keyPlace);
        return this.#wrongKind(place, kindOf(target), aList(field.fields));
      case "quantity":
        return this.#readQuantity(field, target, path, place);
      case "text":
        return this.#readText(target, place);
      case "choice":
        return this.#readChoice(field, target, place);
      case "count":
        return this.#readCount(field, target, place);
    }
  }

  #readSection(field: SectionField | ListField, map: YAMLMap, path: string): ReadSection {
    const section: Record<string, Read | undefined> = {};
    const repeated = this.#repeatedNames(map);
    for (const pair of map.items) {
      const name = keyText(pair);
      const keyNode = this.#nodeOf(pair.key);
      const known = Object.hasOwn(field.fields, name) ? field.fields[name] : undefined;
      if (known === undefined) {
        this.#unknownField(name, keyNode, field.fields, path);
        continue;
      }
      const fieldPath = childPath(path, name);
      const keyPlace = this.#placeOf(keyNode, fieldPath);
      if (repeated.has(name)) this.places.set(fieldPath, keyPlace);
      else section[name] = this.#readField(known, this.#nodeOf(pair.value), fieldPath, keyPlace);
    }
    return section;
  }

  #readList(
    field: ListField,
    items: readonly unknown[],
    path: string,
    keyPlace: Place,
  ): readonly ReadSection[] | undefined {
    if (items.length > mostItems) {
      return this.#report("list-too-long", keyPlace, {
        found: `${items.length} items`,
        allowed: `A list of the valve file has at most ${mostItems}.`,
        mend: "Shorten it; measured data belong to a run of their own",
      });
    }
    return items.map((item, index) => {
      const itemPath = `${path}[${index}]`;
      const node = this.#nodeOf(item);
      const target = isAlias(node) ? this.#resolve(node, itemPath) : node;
      this.places.set(
        itemPath,
        node === undefined ? { ...keyPlace, field: itemPath } : this.#placeOf(node, itemPath),
      );
      if (target === undefined || (isScalar(target) && target.value === null)) return {};
      if (isMap(target)) return this.#readSection(field, target, itemPath);
      this.#wrongKind(this.#placeOf(node, itemPath), kindOf(target), anItem(field.fields));
      return {};
    });
  }

  #readQuantity(field: QuantityField, node: Node, path: string, place: Place): Declared | undefined {
    if (isSeq(node)) return this.#wrongKind(place, kindOf(node), aValue(field.example));
    if (isMap(node) && this.#repeatedNames(node).size > 0) return undefined;
    try {
      return this.#readValue(plainValue(node), field, path);
    } catch (thrown) {
      if (!(thrown instanceof Refusal)) throw thrown;
      for (const fault of thrown.faults) {
        const part = isMap(node) ? partPlace(node, fault.where.field) : undefined;
        this.faults.push({ ...fault, where: part === undefined ? place : this.#placeOf(part, path) });
      }
      return undefined;
    }
  }

  #readText(node: Node, place: Place): string | undefined {
    if (!isScalar(node) || typeof node.value === "boolean") {
      return this.#wrongKind(place, kindOf(node), aText);
    }
    const words = scalarText(node).trim();
    return words === "" ? this.#leftOut(place) : words;
  }

  /** A blank text says nothing: the field counts as left out. */
  #leftOut({ field }: Place): undefined {
    if (field !== undefined) this.places.delete(field);
    return undefined;
  }

  #readChoice(field: ChoiceField, node: Node, place: Place): string | undefined {
    const words = isScalar(node) ? scalarText(node).trim() : undefined;
    if (words === "") return this.#leftOut(place);
    if (words !== undefined && field.words.includes(words)) return words;
    const permitted = field.words.map((word) => `\`${word}\``).join(", ");
    if (words === undefined)
      return this.#wrongKind(place, kindOf(node), { what: "a word", mend: `Write one of ${permitted}` });
    return this.#report("unknown-word", place, {
      found: `${words} is not one of the words of this field`,
      allowed: `Permitted: ${permitted}.`,
      mend: "Write one of these words",
      near: nearName(words, field.words),
    });
  }

  #readCount(field: CountField, node: Node, place: Place): number | undefined {
    const number = isScalar(node) ? Number(scalarText(node)) : Number.NaN;
    if (Number.isInteger(number) && number >= field.min && number <= field.max) return number;
    if (!isScalar(node)) return this.#wrongKind(place, kindOf(node), aWholeNumber);
    const range =
      field.min === field.max ? `${field.min}` : `a whole number from ${field.min} to ${field.max}`;
    return this.#report("count-out-of-range", place, {
      found: `${scalarText(node)} is not ${range}`,
      allowed: field.description,
      mend: `Write ${field.min}`,
    });
  }

  #unknownField(name: string, key: Node | undefined, fields: Shape, path: string): void {
    if (this.#reported.has(key)) return;
    if (key !== undefined) this.#reported.add(key);
    const place = this.#placeOf(key, childPath(path, name));
    const home = pathsEndingWith(this.#root.fields, name).filter(
      (candidate) => candidate !== childPath(path, name),
    );
    const near = nearName(name, Object.keys(fields));
    const mend =
      near === undefined && home.length > 0
        ? `The field ${name} stands at ${home.slice(0, 3).join(" or ")}; move it there`
        : "Correct the name, or delete the line";
    this.#report("unknown-field", place, {
      found: `${name === "" ? "a line without a name" : name} is no field of ${path === "" ? "this file" : path}`,
      allowed:
        near === undefined
          ? `Its fields are ${quotedNames(fields)}.`
          : "A name that nobody reads would leave its value unused without a word.",
      mend,
      near,
    });
  }

  #wrongKind(place: Place, found: string, wanted: Wanted): undefined {
    return this.#report("wrong-kind", place, {
      found: `${found} where ${wanted.what} is expected`,
      allowed: wanted.allowed ?? "",
      mend: wanted.mend,
    });
  }

  #resolve(alias: Alias, path: string): Node | undefined {
    const target = this.#parsed.targets.get(alias);
    if (target !== undefined) return target;
    return this.#report("yaml-reference", this.#placeOf(alias, path), {
      found: "a reference (*) to a label that stands nowhere above",
      allowed: "A reference repeats a part of the file that is labelled (&) above it.",
      mend: "Correct the name, or write the value out",
    });
  }

  #report(
    code: string,
    where: Place,
    words: {
      readonly found: string;
      readonly allowed: string;
      readonly mend: string;
      readonly near?: string | undefined;
    },
  ): undefined {
    const { near, ...rest } = words;
    this.faults.push({ code, where, ...rest, ...(near === undefined ? {} : { near }) });
    return undefined;
  }

  #repeatedNames(map: YAMLMap): ReadonlySet<string> {
    const { repeatedKeys } = this.#parsed;
    const repeated = map.items.filter((pair) => {
      const offset = this.#nodeOf(pair.key)?.range?.[0];
      return offset !== undefined && repeatedKeys.has(offset);
    });
    return new Set(repeated.map(keyText));
  }

  #nodeOf(item: unknown): Node | undefined {
    return isScalar(item) || isMap(item) || isSeq(item) || isAlias(item) ? item : undefined;
  }

  #placeOf(node: Node | undefined, path: string): Place {
    const [start, end] = node?.range ?? [0, 0];
    const place = this.#parsed.locate.place(start, end);
    return path === "" ? place : { ...place, field: path };
  }
}

function quotedNames(fields: Shape): string {
  const names = Object.keys(fields);
  const shown = names.slice(0, mostNamesShown).map((name) => `\`${name}\``);
  return [...shown, ...(names.length > mostNamesShown ? ["..."] : [])].join(", ");
}
