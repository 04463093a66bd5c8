import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import {
  describeSchema,
  type JsonSchema,
  jsonSchema,
  nominalText,
  originWords,
  provenanceText,
  readDossier,
  starterFile,
  uncertainInputs,
} from "../../src/dossier/index.js";
import { origins, parseDeclared } from "../../src/quantity/index.js";
import { readValve } from "./read.js";

const fields = describeSchema();
const demo = readFileSync(new URL("../../demo/petrel-oxygen-main/valve.yaml", import.meta.url), "utf8");

describe("the description of", () => {
  it.each(fields.filter(({ kind }) => kind === "quantity"))(
    "$path has an example that reads and a sentence",
    (field) => {
      expect(field.description).toMatch(/\.$/);
      const { dimension, example } = field;
      if (dimension === undefined || example === undefined)
        throw new Error(`${field.path} lacks dimension or example`);
      const raw: unknown = parse(example);
      expect(() => parseDeclared(typeof raw === "number" ? String(raw) : raw, dimension)).not.toThrow();
    },
  );
});

it("every example stands within the bounds of its field", () => {
  const lines = fields.flatMap(({ path, example, kind }) =>
    kind === "quantity" && example !== undefined && !path.includes("[]") ? [{ path, example }] : [],
  );
  const nested: Record<string, unknown> = {};
  for (const { path, example } of lines) {
    const steps = path.split(".");
    let here = nested;
    for (const step of steps.slice(0, -1)) {
      const below = (here[step] ?? {}) as Record<string, unknown>;
      here[step] = below;
      here = below;
    }
    here[steps.at(-1) ?? ""] = parse(example);
  }
  expect(readValve(JSON.stringify(nested)).faults).toEqual([]);
});

describe("the starting file", () => {
  const text = starterFile("Petrel oxygen main valve");
  it("reads without a fault, and nothing in it is known", () => {
    const { dossier, faults, notices } = readValve(text);
    expect(faults).toEqual([]);
    expect(notices).toEqual([]);
    expect(dossier.valve.name).toBe("Petrel oxygen main valve");
    expect(uncertainInputs(dossier)).toEqual([]);
  });

  it("names every field, none of its lines is long", () => {
    for (const { path } of fields) expect(text).toMatch(new RegExp(`\\b${path.split(".").at(-1)}:`));
    expect(Math.max(...text.split("\n").map((line) => line.length))).toBeLessThanOrEqual(120);
  });

  it("keeps a strange name on its line", () => {
    for (const name of ['a "b": c # d', "line\nbreak", "", "ünïcode 弁"]) {
      const { dossier, faults } = readValve(starterFile(name));
      expect(faults).toEqual([]);
      expect(dossier.valve.name ?? "").toBe(name.replace("\n", " "));
    }
  });
});

/** Checks plain data against the keywords that the schema uses; returns the paths that do not fit. */
function misfits(schema: JsonSchema, data: unknown, root: JsonSchema, path = ""): readonly string[] {
  const ref = schema.$ref;
  if (typeof ref === "string") {
    const target = ref
      .split("/")
      .slice(1)
      .reduce<unknown>((part, step) => Reflect.get(Object(part), step), root);
    return misfits(target as JsonSchema, data, root, path);
  }
  const any = schema.anyOf;
  if (Array.isArray(any)) {
    const branches = any.map((branch: JsonSchema) => misfits(branch, data, root, path));
    return branches.some((found) => found.length === 0) ? [] : [path];
  }
  const words = schema.enum;
  if (Array.isArray(words)) return words.includes(data) ? [] : [path];
  const kind = data === null ? "null" : Array.isArray(data) ? "array" : typeof data;
  const types = [schema.type].flat();
  const fits =
    types.includes(kind) || (kind === "number" && types.includes("integer") && Number.isInteger(data));
  if (!fits) return [path];
  if (typeof data === "number" && typeof schema.maximum === "number" && data > schema.maximum) return [path];
  if (Array.isArray(data)) {
    return data.flatMap((item, index) =>
      misfits(schema.items as JsonSchema, item, root, `${path}[${index}]`),
    );
  }
  if (kind !== "object") return [];
  const properties = Object(schema.properties) as Record<string, JsonSchema>;
  return Object.entries(Object(data)).flatMap(([name, item]) => {
    const below = properties[name];
    return below === undefined ? [`${path}.${name}`] : misfits(below, item, root, `${path}.${name}`);
  });
}

describe("the JSON Schema", () => {
  const schema = jsonSchema();
  it("accepts the starting file and the Petrel oxygen valve", () => {
    expect(misfits(schema, parse(starterFile("Petrel")), schema)).toEqual([]);
    expect(misfits(schema, parse(demo), schema)).toEqual([]);
  });

  it("marks unknown names, wrong words and wrong kinds", () => {
    const data = parse(
      "coldturn: 2\nvalve: { boer: 32 mm, stem: 14 mm, support: hanging, bore: { from: 1 mm, upto: 2 mm } }\ndrive: { stages: { ratio: 3 } }\n",
    );
    expect(misfits(schema, data, schema)).toEqual([
      ".coldturn",
      ".valve.boer",
      ".valve.stem",
      ".valve.support",
      ".valve.bore",
      ".drive.stages",
    ]);
  });

  it("describes every field", () => {
    const text = JSON.stringify(schema);
    for (const { description } of fields) expect(text).toContain(JSON.stringify(description).slice(1, -1));
  });
});

describe("provenance in words", () => {
  it("names every origin", () => {
    expect(Object.keys(originWords).sort()).toEqual([...origins].sort());
  });

  it("gives origin, reason and document", () => {
    const declared = parseDeclared(
      { value: "38 mm +/- 0.4 mm", origin: "drawing", because: "seat ring", reference: "4711-B" },
      "length",
    );
    expect(provenanceText(declared)).toBe("from a drawing: seat ring (4711-B)");
    expect(nominalText(declared)).toBe("38 mm");
  });

  it("is kept for every value of a file", () => {
    const { dossier } = readDossier({ valve: { path: "valve.yaml", text: demo } });
    const contact = uncertainInputs(dossier).find(({ path }) => path === "valve.seat_contact_diameter");
    expect(contact?.declared.origin).toBe("drawing");
  });
});
