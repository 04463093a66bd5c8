/** The valve file as a JSON Schema, for editors that complete and check as a person types. */
import { origins } from "../quantity/index.js";
import { boundsWords } from "./describe.js";
import type { Field, SectionField, Shape } from "./field.js";
import { valveFile } from "./schema.js";
import { standFields } from "./standFile.js";

/** A JSON Schema document or a part of one. */
export interface JsonSchema {
  readonly [keyword: string]: unknown;
}

/** Part that a physical value may have when it is written as a mapping. */
const valueRef = "#/$defs/value";

/**
 * JSON Schema of the valve file, draft 2020-12. It describes names, kinds and words; units and bounds
 * are in the descriptions, because no schema can check them.
 */
export function jsonSchema(): JsonSchema {
  return {
    $schema: "https://json-schema.org/draft/2020-12/schema",
    $id: "urn:coldturn:valve-file:1",
    title: "Valve file",
    ...fieldSchema(valveFile),
    $defs: { value: valueSchema },
  };
}

/** JSON Schema of stand.yaml: who owes what, and what is waived. */
export function standJsonSchema(): JsonSchema {
  return {
    $schema: "https://json-schema.org/draft/2020-12/schema",
    $id: "urn:coldturn:stand-file:1",
    title: "Owners and waivers",
    ...fieldSchema(standFields),
  };
}

const number: JsonSchema = { type: ["string", "number"] };

const valueSchema: JsonSchema = {
  title: "Physical value",
  anyOf: [
    { type: ["string", "number"] },
    {
      type: "object",
      properties: {
        value: { ...number, description: "The value, with its spread: 0.08 +/- 0.02" },
        from: { ...number, description: "Lower end; each value up to `to` is equally likely." },
        to: { ...number, description: "Upper end." },
        nominal: { ...number, description: "Most likely value; needs low and high." },
        low: { ...number, description: "Lower limit." },
        high: { ...number, description: "Upper limit." },
        law: { enum: ["triangular", "uniform", "normal"], description: "Law between low and high." },
        origin: { enum: origins, description: "Where the value comes from." },
        because: { type: "string", description: "Why this value." },
        reference: { type: "string", description: "Document it stands in." },
      },
      additionalProperties: false,
    },
  ],
};

/** Blank is not known, for every field. */
const blank: JsonSchema = { type: "null" };

function fieldSchema(field: Field): JsonSchema {
  switch (field.kind) {
    case "quantity": {
      const bounds = boundsWords(field.bounds, field.dimension);
      const what = `${field.dimension}${bounds === "" ? "" : `, ${bounds}`}`;
      return {
        description: `${field.description} (${what})`,
        examples: [field.example],
        anyOf: [{ $ref: valueRef }, blank],
      };
    }
    case "text":
      return {
        description: field.description,
        examples: [field.example],
        type: ["string", "number", "null"],
      };
    case "choice":
      return { description: field.description, enum: [...field.words, null] };
    case "count":
      return {
        description: field.description,
        anyOf: [{ type: "integer", minimum: field.min, maximum: field.max }, blank],
      };
    case "section":
      return { description: field.description, ...objectSchema(field) };
    case "list":
      return {
        description: field.description,
        type: ["array", "null"],
        items: objectSchema({ kind: "section", fields: field.fields, description: field.description }),
      };
  }
}

function objectSchema({ fields }: SectionField<Shape>): JsonSchema {
  return {
    type: ["object", "null"],
    properties: Object.fromEntries(Object.entries(fields).map(([name, child]) => [name, fieldSchema(child)])),
    additionalProperties: false,
  };
}
