/** The inputs of a dossier as they stand in its file and as the program read them. */
import { type Dossier, describeSchema } from "../dossier/index.js";
import type { Declared } from "../quantity/index.js";

/** One field of the valve file that somebody filled in. */
export interface SheetInput {
  readonly path: string;
  /** What the field is. */
  readonly description: string;
  /** As typed. */
  readonly text: string;
  /** As read, in words; for a word of the file, the word itself. */
  readonly readAs: string;
  readonly origin: Declared["origin"] | undefined;
  readonly because: string | undefined;
  readonly reference: string | undefined;
}

/** Fields that the head of the sheet shows. */
const inHead = new Set(["coldturn", "name", "description"]);

/**
 * Every field with a content, in the order of the file, but for defaults (they have a table of their
 * own) and the conditions of other cases.
 */
export function inputsOf(dossier: Dossier, caseId: string): readonly SheetInput[] {
  const descriptions = new Map(describeSchema().map(({ path, description }) => [path, description]));
  const others = (dossier.valve.cases ?? []).flatMap(({ id }, index) =>
    id === caseId ? [] : [`cases[${index}]`],
  );
  return leaves(dossier.valve, "")
    .filter(({ path }) => !inHead.has(path) && !others.some((other) => path.startsWith(`${other}.`)))
    .flatMap(({ path, item }): readonly SheetInput[] => {
      const description = descriptions.get(path.replaceAll(/\[\d+\]/g, "[]")) ?? "";
      if (!isDeclared(item)) {
        const text = String(item);
        return [
          {
            path,
            description,
            text,
            readAs: "",
            origin: undefined,
            because: undefined,
            reference: undefined,
          },
        ];
      }
      if (item.origin === "default") return [];
      const { text, readAs, origin, because, reference } = item;
      return [{ path, description, text, readAs, origin, because, reference }];
    });
}

interface Leaf {
  readonly path: string;
  readonly item: Declared | string | number;
}

function leaves(item: unknown, path: string): readonly Leaf[] {
  if (typeof item === "string" || typeof item === "number") return [{ path, item }];
  if (Array.isArray(item)) return item.flatMap((child: unknown, index) => leaves(child, `${path}[${index}]`));
  if (typeof item !== "object" || item === null) return [];
  if (isDeclared(item)) return [{ path, item }];
  return Object.entries(item).flatMap(([name, child]) =>
    leaves(child, path === "" ? name : `${path}.${name}`),
  );
}

function isDeclared(item: unknown): item is Declared {
  return typeof item === "object" && item !== null && "readAs" in item && "law" in item;
}
